"""The answer: what to buy, pull, cut, glue and keep, and the proof that it adds up."""
