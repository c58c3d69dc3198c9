// A classic script in the head: what must stand before the first paint, so it waits for nothing. A chosen light or dark; that
// there are scripts; and that a Figure's numbers come from a setup (a word that lib/setup.js leaves), so that others are not shown first.
(function () {
  document.documentElement.dataset.scripts = "";
  try {
    if (localStorage.getItem("cowlside-setup")) document.documentElement.dataset.waiting = "setup";
    const chosen = localStorage.getItem("cowlside-theme");
    if (chosen !== "day" && chosen !== "night") return;
    document.documentElement.dataset.theme = chosen;
    const [light, dark] = /** @type {NodeListOf<HTMLMetaElement>} */ (document.querySelectorAll('meta[name="theme-color"]'));
    light.media = chosen === "day" ? "all" : "not all";
    dark.media = chosen === "night" ? "all" : "not all";
  } catch {
    // No storage here: the phone's own setting holds.
  }
})();
