"""Questions and their answers, a module a topic: `answer(ask, scene) -> Answer`, looked up in `topics.py`."""
