"""One conversation with a board's plain-text console, sans-IO."""
