"""Text from boards and files, made safe to print."""


def plain(text: str) -> str:
    """The text with every character that could act on a terminal made visible."""
    if text.isprintable():
        return text
    return "".join(map(_visible, text))


def _visible(char: str) -> str:
    if char.isprintable():
        return char
    from benchlink.core.stray import stray_byte  # noqa: PLC0415 - first paint

    byte = stray_byte(char)
    return f"\\u{{{ord(char):x}}}" if byte is None else f"\\x{byte:02x}"


def plain_lines(text: str) -> str:
    """The same for text that keeps its own line ends."""
    return "\n".join(plain(line) for line in text.split("\n"))
