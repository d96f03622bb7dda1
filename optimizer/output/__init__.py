"""What the maker takes along: it reads plans and changes nothing."""
