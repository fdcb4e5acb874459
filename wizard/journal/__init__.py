"""The session's truth on disk: sealed blocks of TOML, appended and made durable, read, verified and repaired.

Nothing here knows a flow or what an event means. An event is a mapping of text to str, int, float, bool,
list and mapping; everything else is refused.
"""
