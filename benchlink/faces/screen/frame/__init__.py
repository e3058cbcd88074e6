"""What every page is made of; it knows no page."""
