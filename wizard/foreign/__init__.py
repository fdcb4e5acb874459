"""Data from another machine or a file: one table of limits, one way in for each form, one way to make text harmless.

Whatever was not made by this program in this run comes through here: zips, journals, flows, service sheets, reviews,
flags, remembered checks, recordings, names of files, pasted text. Nothing here knows what any of it means.
"""
