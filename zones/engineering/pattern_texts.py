"""Texts of the usual wiring patterns; `patterns.py` reads them. Common practice: a model's own pattern goes before."""

THROUGH = """X1:1 line in + 24 V
X1:2 line in - 24 V
X1:3 line out + 24 V
X1:4 line out - 24 V
link X1:1 X1:3
link X1:2 X1:4
"""
# A call point on a data link, with a detection line and a switch of its own.
LINK_CALL_POINT = """X1:1 link in + 24 V, supply
X1:2 link in - 24 V, return
X1:3 link in, data
X2:1 link out + 24 V, supply
X2:2 link out - 24 V, return
X2:3 link out, data
link X1:1 X2:1
link X1:2 X2:2
link X1:3 X2:3
port line 1 needs 10000 ohm, detectors
X3:1 line out + 24 V
X3:2 line out - 24 V
port input 1, open
X4:1 input out, common
X4:2 input out, open
port input 2, close
X4:3 input out, close
"""
# A two-core actuator, whose feed ends at it: what monitors the cable stands before it.
TWO_CORE_ACTUATOR = """X1:1 output in + 24 V
X1:2 output in - 24 V
"""
SWITCH = """X1:1 contact in, common
X1:2 contact in, open
X1:3 contact in, close
X1:4 contact out, common
X1:5 contact out, open
X1:6 contact out, close
link X1:1 X1:4
link X1:2 X1:5
link X1:3 X1:6
"""
SENSOR = """X1:1 other + 24 V, supply
X1:2 other - 24 V, supply
X1:3 contact, signal
X1:4 contact, common
"""
_PANEL = """X1:L supply 230 V, mains L
X1:N supply 230 V, mains N
X1:PE earth, protective earth
X2:1 battery + 24 V, battery
X2:2 battery - 24 V, battery
for each output
XA{n}:1 output out + 24 V, output {n}
XA{n}:2 output out - 24 V, output {n}
XA{n}:3 %(third)s
for each line
XL{n}:1 line out + 24 V, line {n}
XL{n}:2 line out - 24 V, line {n}
for each data link
XD{n}:1 link out + 24 V, data link {n} supply
XD{n}:2 link out - 24 V, data link {n} return
XD{n}:3 link out, data link {n} data
for each input
XS{n}:1 input, common
XS{n}:2 input, open
XS{n}:3 input, close
XS{n}:4 input, signal
XS{n}:5 other + 24 V, supply
XS{n}:6 other - 24 V, supply
"""
_ACTUATOR = """X1:1 output in + 24 V
X1:2 output in - 24 V
X1:3 %(third)s in
X1:4 output out + 24 V
X1:5 output out - 24 V
X1:6 %(third)s out
link X1:1 X1:4
link X1:2 X1:5
link X1:3 X1:6
"""
PANEL_BY_POLARITY = _PANEL % {"third": "monitor out, output {n} monitoring"}
PANEL_ADDRESSED = _PANEL % {"third": "data out, output {n} data"}
ACTUATOR_BY_POLARITY = _ACTUATOR % {"third": "monitor"}
ACTUATOR_ADDRESSED = _ACTUATOR % {"third": "data"}
CONTACT = """X1:1 contact, signal
X1:2 contact, common
"""
SUPPLIED = """X1:1 other + 24 V, supply
X1:2 other - 24 V, supply
"""
BLOCK = "X1:1 battery + \nX1:2 battery -\n"
