// A classic script in the head: a chosen light or dark must stand before the first paint, so it waits for nothing.
(function () {
  try {
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
