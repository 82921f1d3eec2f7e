"""What was said: text in, typed meanings out. Knows words; knows nothing of the rig, the log, or the clock.

May import: lark and the standard library. Never `state`, never `assistant`.
"""
