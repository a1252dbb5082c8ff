"""What is printed on a day: pages by paper, bar codes read from each printer's dots."""
