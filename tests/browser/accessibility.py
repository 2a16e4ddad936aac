"""Accessibility faults of a page. Only they are brought back: carrying over what is well takes longer than looking."""

from axe_playwright_python.sync_playwright import Axe

LOOK = """async (rules) => {
  const told = await axe.run({ resultTypes: ["violations"], ...(rules && { runOnly: rules }) });
  return told.violations.map((fault) => `${fault.help} (${fault.id}): ${fault.nodes.map((node) => node.html)}`);
}"""


def accessibility_faults(page, rules=("wcag2a", "wcag2aa")):
    """What axe finds wrong on a page as it stands, by the rules of these groups; with None by all rules."""
    page.evaluate(Axe().axe_script)
    return page.evaluate(LOOK, rules and list(rules))
