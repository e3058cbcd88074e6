"""Where a person meets the workflows: command line and full screen."""
