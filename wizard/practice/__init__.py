"""The practice machine: washers made of physics, with hidden faults, that answer the steps of a flow.

What is drawn of machines and people, and which step senses what, stands in TOML (``flows/practice``); how it is
computed stands here. Everything random comes from a numpy Generator that is handed in.
"""
