"""What a person does at the bench, written against the doors in core."""
