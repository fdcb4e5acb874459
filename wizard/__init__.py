"""Steadfoot: a whole job on a washer that shakes, bangs or walks, from the door to the handover."""

VERSION = "0.1.0"
