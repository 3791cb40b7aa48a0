"""The usual cautions of hot water, in our own words: point by point, and in short.

General good practice; they never replace the school's own risk assessment. The 50 °C mark follows
from how fast hot water burns skin (Moritz and Henriques 1947, from memory: minutes at 50 °C,
seconds at 60 °C).
"""

CAUTIONS = (
    "The school's own risk assessment and local rules come first; where they differ from this "
    "page, follow them.",
    "Hot water scalds, and so does water that boiled half an hour ago. Use no hotter water than "
    "the readings need, and keep it at 60 °C or below unless the teacher says otherwise.",
    "Above 50 °C handle the ball with tongs, never with the fingers.",
    "Stand up to work with hot water. Keep beaker, bath and kettle away from the edge of the bench "
    "and their leads out of reach, and do not carry hot water through a moving class.",
    "Wear eye protection while hot water is handled.",
    "Wipe up spills at once, and dry the ball and the floor: wet floors are slippery.",
    "If skin is scalded, hold it under cool running water at once and tell the teacher.",
)
IN_ONE_PARAGRAPH = (
    "Usual cautions for the real thing: hot water scalds, from 60 °C within seconds, so use tongs "
    "above 50 °C and wear eye protection; stand up to work; keep beaker, bath and kettle away "
    "from the edge; wipe spills at once, a wet floor is slippery; pick the ball up before it rolls "
    "away."
)
LOCAL_RULES = "The school's own risk assessment and local rules come first."
IN_ONE_SENTENCE = (
    "Hot water scalds: where the real thing is done, the school's own risk assessment and local "
    "rules come first."
)
