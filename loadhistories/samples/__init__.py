"""Demo jobs and records of our own making; nothing here was measured."""
