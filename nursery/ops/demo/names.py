"""The ids that the rows and the days of the story share."""

# Places
SITE = "veshmere-site"
OFFICE = "office"
QUARANTINE = "q-room"
ANTEROOM = "q-anteroom"
DOOR = "q-door"
VENTS = ("q-vent-1", "q-vent-2")
BENCHES = ("q-bench-1", "q-bench-2", "q-bench-3")
TRAP_A, TRAP_B, TRAP_DOOR = "q-trap-a", "q-trap-b", "q-trap-door"
TRAP_VENT_1, TRAP_VENT_2 = "q-trap-vent-1", "q-trap-vent-2"
TRAPS = (TRAP_A, TRAP_B, TRAP_DOOR, TRAP_VENT_1, TRAP_VENT_2)
# Hung after the storm, for the weeks that the order about it runs.
EXTRA_TRAPS = ("q-trap-n-1", "q-trap-n-2", "q-trap-n-3")
# Hung in terrace 5 for the weeks before the count.
FIELD_TRAPS = ("tr5-trap-1", "tr5-trap-2")
CITRUS_BLOCK = "citrus-block"
SHADE_HOUSE = "shade-house"
FIELD = "field-block"
TERRACES = ("terrace-3", "terrace-4", "terrace-5")

# Crops and pests
FINGER_LIME, CITRUS, PAPAYA = "finger-lime", "citrus", "papaya"
BLACKFLY, THRIPS, GNATS, MEALYBUG = "blackfly", "thrips", "fungus-gnats", "mealybug"

# The program by which the trees are brought to the sun.
TOUGHENING = "lime-toughening"

OIL_SOAP = "oil-soap"
# What the trees are potted on into, by the name that potting writes.
POT = "2.5 L air-pruned pot"

# Batches
TRAYS = ("b-t1", "b-t2", "b-t3", "b-t4", "b-t5", "b-t6")
T1, T2, T3, T4, T5, T6 = TRAYS
# What is left once T4 is destroyed, and then with the pots of which nobody knows the tray.
SPARED = (T1, T2, T3, T5, T6)
MIXED = "b-u"
POTS = (*SPARED, MIXED)
OPEN_CITRUS, SEEDBED = "b-oc1", "b-pa1"

# Phones
ROOM_PHONE, SECOND_PHONE, OFFICE_PHONE = "room", "second", "office"
