"""What was really done: hours by work and person, parts used, what is left to bill."""
