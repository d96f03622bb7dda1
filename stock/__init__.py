"""What wood there is: sizes, woods, rack, prices, shop, and the book of them."""
