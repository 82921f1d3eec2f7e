"""The words by which a part of a phrase is judged: what the classes of the vocabulary bear on the log, and words that turn a report.

Only lists; how they are used is for bearing.py. May import: nothing.
"""

from __future__ import annotations

# ---------------------------------------------------------------- what words bear, by their class

TURNS = frozenset(
    (
        "IF REPORTED NEARLY AMEND FIX CANCEL UNDO UNDOVERB INSTEAD WITHOUT DOUBT JEST NO VAGUE BOUND MINUS FORGOTLOG QMARK QWORD OR EXPLAIN"
    ).split()
)
"""What takes a report back, doubts it, makes a condition of it or asks."""
ELSE = frozenset("NEG FUTURE OTHER HABIT".split())
"""What makes no report of a part, and says nothing against the report before it."""
OURS = frozenset(
    (
        "NUMBER FRACTION UNIT ACT TANK TANKS TANKWORD METER DUMP FILL HAUL RESET VALVE OPEN SHUT RINSE USE WASH FLOW RUNOUT FULLNESS EVERY "
        "EACH RATEUNIT PUMP SWITCH STOW OUTON CLOCK WEEKDAY MONTH UNTIL SINCE DEPART LEAVE NEXTSTOP PEOPLEWORD ROOM HOLDS LEFTOVER SANITISE TOTE "
        "SENSOR LOWTEMP ELSEWHERE"
    ).split()
)
"""What the log is of."""
TALK = frozenset(
    (
        "FILLER ART A ADJ PREP SELF BE IT KIN GROUP NAMEWORD PERSON PARTICLE AND TO AT ON IN FOR OF BY FROM POSS SCENE PART DO TAKEAWAY AUX "
        "SITEWORD SITE TIMEUNIT WHICH LEFT THEREARE REMARK GEAR WALK THEN MOST PAST TOTAL PRONOUN DIRT RAIN FELT MORE LOOK QSOFT DAY "
        "VISITOR BACK ANYONE PUTAWAY AWAYWORD AWAY HOOKUP SERVICE WATERHERE SEWERHERE ONE WATER TASTEQ DUMPSITE AGAIN HAVE COMING BUT TIMESWORD "
        "GREETING COMMA THROUGH INTO BETWEEN AFTER LATER NEW VESSEL BOUGHT CALLED COST PRESSURE GUESTS YES EDGE"
    ).split()
)
"""What may stand in a part that says nothing; a class that is neither here nor above is taken to be ours."""
RATHER_TALK = frozenset("FILLER ADJ FELT GROUP KIN BE COMING HAVE".split())
"""Senses that a word has in a remark, whatever else it may mean elsewhere: "was" corrects only at the head of a phrase."""
ON_THE_WAY = frozenset("ARRIVE STAY LEAVE DEPART STOW SWITCH ONTO STARTRUN ISAT RIG".split())
"""Talk in "after we got back" only: elsewhere they are reports of their own."""
AT_A_SITE = frozenset("WATER WATERHERE SEWERHERE HOOKUP FULLHOOK NOHOOK".split())
LITTLE = frozenset(
    (
        "AUX TO PREP ART A FILLER OF IN ON AT BY FROM FOR AND COMMA BE DO HAVE IT SELF PRONOUN PERSON KIN GROUP GUESTS NAMEWORD POSS THEN BUT "
        "ONE MORE MOST TOTAL AGAIN DAY PART PARTICLE TIMESWORD TIMEUNIT WHICH QSOFT LEFT ANYONE THEREARE VISITOR LATER NEW WALK GEAR SERVICE "
        "WATER AFTER PUTAWAY AWAYWORD TAKEAWAY NEG FUTURE OTHER HABIT"
    ).split()
)
"""Words that say nothing by themselves: a part of these alone goes with the report ("Joss did it", "each of us", "at noon")."""
PLAIN = frozenset(
    (
        "outside all one gone but while though out over up down off round back away through under took clear good fine safe whole lovely say went "
        "line sorry about"
    ).split()
) | {"to go"}
"""Words that are of the trade as well, and say nothing of it in a remark."""

# ---------------------------------------------------------------- what words bear, by themselves

TELLS_OF_IT = frozenset(
    (
        "true real yet happening happened ours rig here home us joking kidding serious certain accurate correct right sure legit actual done "
        "finished finish accounted included yesterday today counting counted count measured logged happen exist exactly quite completely fully "
        "entirely properly successfully totally anymore joy luck dice chance way success"
    ).split()
)
"""With a "not" before them these deny what stands beside."""
OH = frozenset("yes yeah really honestly seriously truly finally phew wow yay for real go figure ha haha lol".split())

LONGEST, SHORTEST_WORD = 16, 3
MEANWHILE = frozenset("while when whilst as because since cos cause".split())
SHARES = frozenset("all most some bits bit half much part parts rest any lot lots little".split())
SAYS_HOW = ("good", "fine", "clear", "safe", "sorry", "well")
YOUTH = frozenset("a an kid kids child young younger small little".split())
SAID = frozenset("said says saying".split())
