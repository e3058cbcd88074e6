"""Text from boards and files, made safe to print."""


def plain(text: str) -> str:
    """The text with every character that could act on a terminal made visible."""
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else f"\\u{{{ord(c):x}}}" for c in text)


def plain_lines(text: str) -> str:
    """The same for text that keeps its own line ends."""
    return "\n".join(plain(line) for line in text.split("\n"))
