// Evaluated in the page under test, behind axe-core. Defines window.pageRules.
(() => {
  const CONTRAST = ["color-contrast", "color-contrast-enhanced"];
  const ALOUD = "[aria-live=polite], [aria-live=assertive], [role=status], [role=alert], output";

  /**
   * What axe-core finds wrong, and what it leaves undecided though it must be decided: [[rule, place, why], ...] each.
   *
   * In forced colours the person's own colours are painted, while scripts still see the page's: contrast is then looked at
   * only where the page insists on its own.
   */
  async function runAxe([switchedOn, mustBeDecided, forcedColours, coloursOnly]) {
    const rules = Object.fromEntries(switchedOn.map((name) => [name, { enabled: true }]));
    const options = { resultTypes: ["violations", "incomplete"], elementRef: true, rules, checks: measuringSigns() };
    if (coloursOnly) options.runOnly = [...CONTRAST, "link-in-text-block"];
    const runs = [];
    if (forcedColours) {
      for (const name of CONTRAST) rules[name] = { enabled: false };
      const own = [...document.querySelectorAll("*")].filter((each) => getComputedStyle(each).forcedColorAdjust === "none");
      if (own.length) runs.push(await axe.run({ include: own }, { ...options, runOnly: CONTRAST, rules: {} }));
    }
    runs.push(await axe.run(document, options));
    const isOpen = (rule, element) =>
      mustBeDecided.includes(rule) && !(CONTRAST.includes(rule) && contrastBySheet(element) >= 7);
    return [
      places(runs.flatMap((run) => run.violations), () => true),
      places(runs.flatMap((run) => run.incomplete), isOpen),
    ];
  }

  /** axe-core's own settings of its contrast rules, except that a minus or an arrow is measured like any other text. */
  function measuringSigns() {
    return Object.fromEntries(
      CONTRAST.map((name) => [name, { options: { ...axe._audit.checks[name].options, ignoreUnicode: false } }]),
    );
  }

  function places(rules, isKept) {
    return rules.flatMap((rule) =>
      rule.nodes
        .filter((node) => isKept(rule.id, node.element))
        .map((node) => [rule.id, node.target.join(" "), node.failureSummary ?? ""]),
    );
  }

  /**
   * Contrast of an element's text on the nearest ground behind it, by the style sheet alone. It decides what axe-core cannot:
   * text of one character, in a box that scrolls, or below a bar that stays in place. NaN where anything on the way is a
   * picture, a gradient or see-through.
   */
  function contrastBySheet(element) {
    const inks = [luminance(getComputedStyle(element).color)];
    for (let ground = element; ground && inks.length < 2; ground = ground.parentElement) {
      const style = getComputedStyle(ground);
      if (style.backgroundImage !== "none" || style.opacity !== "1" || style.filter !== "none") return NaN;
      if (style.backgroundColor !== "rgba(0, 0, 0, 0)") inks.push(luminance(style.backgroundColor));
    }
    const [dark, light] = inks.sort((a, b) => a - b);
    return (light + 0.05) / (dark + 0.05);
  }

  /** Relative luminance as WCAG 2 defines it (from memory); NaN for a colour that is not plain and opaque. */
  function luminance(colour) {
    const channels = /^rgb\((\d+), (\d+), (\d+)\)$/.exec(colour)?.slice(1) ?? [NaN, NaN, NaN];
    const [r, g, b] = channels
      .map((each) => Number(each) / 255)
      .map((each) => (each <= 0.04045 ? each / 12.92 : ((each + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  }

  /** Forms beside which nothing is read out: where answers change while a person types, something must say so. */
  function quietAnswers() {
    return [...document.querySelectorAll("form")]
      .filter((form) => form.querySelector("input, select"))
      .filter((form) => !(form.closest("[data-module]") ?? document).querySelector(ALOUD))
      .map((form) => form.id || form.action);
  }

  /**
   * What needs sideways scrolling, or is cut off on the right. A box that scrolls by itself may be wide inside (that it can be
   * reached by keyboard is axe-core's affair); text for screen readers only is not meant to be seen.
   */
  function stickingOut() {
    const root = document.documentElement;
    const found = root.scrollWidth > root.clientWidth ? [`the page is ${root.scrollWidth} px wide`] : [];
    for (const element of document.body.querySelectorAll("*")) {
      if (!isSeen(element) || element instanceof SVGElement) continue;
      const box = element.getBoundingClientRect();
      const over = Math.max(box.right - root.clientWidth, -box.left);
      if (over > 1 && !isInScrollingBox(element)) found.push(`${nameOf(element)} sticks out by ${over.toFixed(1)} px`);
      const cut = element.scrollWidth - element.clientWidth;
      if (cut > 1 && /hidden|clip/.test(getComputedStyle(element).overflowX) && element.textContent.trim()) {
        found.push(`${nameOf(element)} cuts off ${cut} px of its text`);
      }
    }
    return found;
  }

  function isSeen(element) {
    const box = element.getBoundingClientRect();
    const style = getComputedStyle(element);
    const isClipped = style.clip !== "auto" || style.clipPath.startsWith("inset(50%");
    return (
      box.width > 1 && box.height > 1 && !isClipped && element.checkVisibility({ opacityProperty: true, visibilityProperty: true })
    );
  }

  function isInScrollingBox(element) {
    for (let box = element.parentElement; box && box !== document.body; box = box.parentElement) {
      if (/auto|scroll/.test(getComputedStyle(box).overflowX)) return true;
    }
    return false;
  }

  function nameOf(element) {
    const id = element.id ? `#${element.id}` : "";
    return element.tagName.toLowerCase() + id + [...element.classList].map((each) => `.${each}`).join("");
  }

  window.pageRules = { runAxe, quietAnswers, stickingOut };
})();
