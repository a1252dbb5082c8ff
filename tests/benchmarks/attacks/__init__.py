"""What comes in from outside, damaged or hostile."""
