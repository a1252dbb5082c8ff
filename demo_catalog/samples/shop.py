"""The invented shop that the samples are of: clock parts, invented people, no clock, no chance."""

from datetime import date

DAY = date(2025, 3, 4)
SHOP = "Tick & Tumble Clockparts (invented)"
NOTICE = "Demo: all data invented, weighings simulated."
FROM = (SHOP, "1 Escapement Yard", "EX1 0AA EXAMPLETOWN", "UNITED KINGDOM")
TO = ("Zofia Przykładowa", "ul. Zmyślona 12/3", "00-000 PRZYKŁADÓW", "POLAND")
RISK = (
    "Windows are made so that a bag one piece short or over passes at most 0.10 % of the time, and a right bag is sent "
    "back at most 0.50 % of the time."
)
PARTS = (
    ("SCR-0316", "Cap screw M3 x 16, hexagon socket, zinc plated", "cap screw", "M3 x 16", "zinc plated", "0.9312"),
    ("BAL-0400", "Bearing ball 4 mm, grade 100", "bearing ball", "4 mm", "polished steel", "0.2610"),
    ("WSH-0003", "Plain washer for M3", "washer", "M3", "brass, bright", "0.1190"),
    ("GEA-0024", "Gear wheel with 24 teeth, module 0.5, bore 3 mm", "gear", "24 teeth, 0.5", "brass", "2.4410"),
    ("SPR-0107", "Compression spring 7 x 25 mm, wire 0.7 mm", "spring", "7 x 25", "bright steel", "0.8300"),
    ("HND-0061", "Hour hand, leaf form, length 61 mm", "hand", "61 mm", "blued steel", "1.1020"),
)
LONG = (
    "Escapement wheel with fifteen teeth, lapped and polished on both faces, hub of free-cutting brass, bore reamed "
    "2.500 mm H7, for movements with a seconds pendulum; supplied in pairs, oil before use, left hand"
)
