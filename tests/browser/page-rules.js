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
    const options = { resultTypes: ["violations", "incomplete", "passes"], elementRef: true, rules, checks: measuringSigns() };
    const runs = [];
    if (coloursOnly) {
      const include = toBeMeasured();
      if (!include.length) return [[], []];
      runs.push(await axe.run({ include }, { ...options, runOnly: [...CONTRAST, "link-in-text-block"], rules: {} }));
      return verdictOf(runs, mustBeDecided);
    }
    if (forcedColours) {
      for (const name of CONTRAST) rules[name] = { enabled: false };
      const own = [...document.querySelectorAll("*")].filter((each) => getComputedStyle(each).forcedColorAdjust === "none");
      if (own.length) runs.push(await axe.run({ include: own }, { ...options, runOnly: CONTRAST, rules: {} }));
    }
    runs.push(await axe.run(document, options));
    if (!forcedColours) compareMeasures(runs.at(-1));
    return verdictOf(runs, mustBeDecided);
  }

  function verdictOf(runs, mustBeDecided) {
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

  /** Elements of which the style sheet alone tells what axe-core measured on this page: in another theme it tells it as well. */
  const measuredAlike = new WeakSet();

  function compareMeasures({ passes }) {
    const isLaidOver = layersOverText();
    for (const { element, any } of passes.filter(({ id }) => id === "color-contrast-enhanced").flatMap(({ nodes }) => nodes)) {
      const measured = any.find(({ id }) => id === "color-contrast-enhanced")?.data?.contrastRatio;
      if (Math.abs(contrastBySheet(element) - measured) < 0.02 && !isLaidOver(element)) measuredAlike.add(element);
    }
  }

  /** A test of whether an element lies where another has a ground of its own in a layer: that may look alike in one theme only. */
  function layersOverText() {
    const layers = [...document.body.querySelectorAll("*")]
      .filter((each) => getComputedStyle(each).position !== "static" && getComputedStyle(each).backgroundColor !== "rgba(0, 0, 0, 0)")
      .map((each) => [each, each.getBoundingClientRect()]);
    return (element) => {
      const box = element.getBoundingClientRect();
      const isOver = (other) => box.left < other.right && other.left < box.right && box.top < other.bottom && other.top < box.bottom;
      return layers.some(([layer, other]) => !layer.contains(element) && isOver(other));
    };
  }

  /**
   * What axe-core has to look at once more in a page that only its colours have changed: text whose contrast by the style sheet is
   * too low, or is not known to be what axe-core measures, and links that nothing but a colour marks as such.
   */
  function toBeMeasured() {
    const hasText = (element) => [...element.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && node.data.trim());
    const isSure = (element) => measuredAlike.has(element) && contrastBySheet(element) >= 7;
    const isMarked = (element) => !element.matches("a[href]") || getComputedStyle(element).textDecorationLine.includes("underline");
    return [...document.body.querySelectorAll("*")].filter(
      (element) => (hasText(element) || element.matches("input, select, textarea")) && element.checkVisibility() && !(isSure(element) && isMarked(element)),
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
    const width = Math.max(root.scrollWidth, Math.floor(visualViewport.width));
    const found = width > root.clientWidth ? [`the page is ${width} px wide`] : [];
    for (const element of document.body.querySelectorAll("*")) {
      if (!isSeen(element) || element instanceof SVGElement) continue;
      const box = element.getBoundingClientRect();
      const over = Math.max(box.right - root.clientWidth, -box.left);
      if (over > 1 && !isInScrollingBox(element)) found.push(`${nameOf(element)} sticks out by ${over.toFixed(1)} px`);
      const cut = element.scrollWidth - element.clientWidth;
      const isCutOff = /hidden|clip/.test(getComputedStyle(element).overflowX) && element.textContent.trim();
      const isOverfull = element.clientWidth && !isWideByRight(element) && (element.value || element.textContent.trim());
      if (cut > 1 && (isCutOff || isOverfull)) {
        found.push(`${nameOf(element)} is ${cut} px too narrow for what is in it`);
      }
    }
    return found;
  }

  /** A box that scrolls, one inside such a box, text in a line, a list to choose from, and a field for free text: these show what fits. */
  function isWideByRight(element) {
    const { overflowX, display } = getComputedStyle(element);
    const isField = element.matches("select, textarea, input") && !element.matches("[data-row] input");
    return /auto|scroll/.test(overflowX) || display === "inline" || isField || isInScrollingBox(element);
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
