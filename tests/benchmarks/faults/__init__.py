"""What can go wrong, tried on purpose: simulated days, kills, nonsense at every reader, many processes on one shop."""
