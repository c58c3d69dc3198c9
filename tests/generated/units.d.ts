// What webapp/figures/emit_module.py writes as js/units.js; the type checker reads it, nothing runs it.
export const UNITS: any;
