// What webapp/figures/emit_module.py writes as js/figures.js; the type checker reads it, nothing runs it.
import type { Figure, Tables } from "../../static/js/lib/calculator.js";

export const FIGURES: Record<string, Figure>;
export const UNITS: any;
export const CHOICES: Tables;
