"""What nobody should send and somebody will: values that have tripped programs before."""

BEYOND_ANY_DATABASE = str(2**63)
NUMBERS = (
    "", " ", "0", "-1", "1", "2", "1.5", "12,5", "1 000", "+3", "-0", "1e3", "1e-320", "1e400", "-1e308", "9" * 400,
    "0." + "0" * 400 + "1", "nan", "inf", "-inf", "Infinity", "sNaN", "1_000", "0x10", "½", "²", "١٢", "１２", "1e",
    "--", ".", str(2**31 - 1), str(2**31), str(-(2**31) - 1), str(2**53 + 1), str(2**63 - 1), BEYOND_ANY_DATABASE,
    str(-(2**63) - 1), str(10**30), "99999999", "0.0000001", "32768", "1e-9", "1e12",
)  # fmt: skip
TEXTS = (
    "\x00", "a\x00b", "%00", "\x01\x1f", "\r\n", "\u202eabc", "\ufeff", "\U0001f6a8", "é" * 40, "x" * 31, "x" * 5000,
    "\udcff", "true", "on", "None", "null", "[]", "{}", "[1]", '{"a": 1}', '{"a":', "[" * 2000,
    "<script>alert(1)</script>", "'; --", "{{ 7 }}",
    "../../etc", "//elsewhere.example/", "javascript:1", "/", "?a=b", "#", "=1+1", "@x", "not-a-uuid", "-",
    "00000000-0000-0000-0000-000000000000", "W1", "P1", "-X1:1", "CP1", "a,b;c\td",
)  # fmt: skip
MOMENTS = (
    "0001-01-01", "9999-12-31", "0000-00-00", "2026-02-30", "2028-02-29", "31/12/2026", "2027-03-28T01:30",
    "2027-10-31T01:30", "0001-01-01T00:00", "9999-12-31T23:59", "24:00", "2026-W01", "today", "-0001-01-01",
)  # fmt: skip
STRANGE = (*NUMBERS, *TEXTS, *MOMENTS)

# What list pages and links of the register read from any address, whether or not a form offers it.
COMMON_PARAMETERS = (
    "page",
    "per_page",
    "sort",
    "q",
    "next",
    "o",
    "format",
    "state",
    "kind",
    "storey",
    "zone",
    "building",
    "inputs",
    "at",
)


def some_value(chance, offered=(), is_number=False):
    """One strange value, or now and then one that a select box offers: it takes a right neighbour to be tripped up."""
    if offered and chance.random() < 0.4:
        return chance.choice(offered)
    return chance.choice(NUMBERS if is_number and chance.random() < 0.8 else STRANGE)
