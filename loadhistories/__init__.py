"""What is read in, made sound and checked at the door: histories, units, occurrences."""
