"""The cheapest way there: patterns, programmes, bounds, layouts."""
