"""What must come out: finished parts, and each way of making them."""
