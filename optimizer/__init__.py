"""What to make of the wood: the job, its cheapest plan, what is printed."""
