"""What else could be done: a job solved again in other ways."""
