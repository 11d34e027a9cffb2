"""Which machines run the programme between them."""
