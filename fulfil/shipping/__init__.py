"""Services and their limits, manifest totals, and the day's reconciliation. Pure: records in, findings out."""
