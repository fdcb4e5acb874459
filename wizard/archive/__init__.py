"""The archive of a shop: an index over the sessions of a home, made from their journals and made again at any time.

The journals stay the truth. What is here is found by words and by facts, and says which sessions are worth reading.
"""
