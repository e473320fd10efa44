"""The live page: one spec on loopback, made again by a warm process whenever it is saved.

watching (a thread) -> maker (the loop) -> worker (a process) -> maker -> desk -> listeners of `/live/events`
"""
