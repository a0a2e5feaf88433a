import { existsSync } from "node:fs";
import { dirname, join } from "node:path";

/** liesInPlan tells whether a file lies in the folder of a farm.star or in one below it. */
export function liesInPlan(file: string): boolean {
  for (let folder = dirname(file); ; folder = dirname(folder)) {
    if (existsSync(join(folder, "farm.star"))) return true;
    if (folder === dirname(folder)) return false;
  }
}
