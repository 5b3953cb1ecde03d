// Leaves nothing in the lock file but what is needed to install: no addresses of registries or of people.
import { readFileSync, writeFileSync } from "node:fs";

const path = new URL("package-lock.json", import.meta.url);
const lock = JSON.parse(readFileSync(path, "utf-8"));
for (const entry of Object.values(lock.packages)) {
  delete entry.resolved;
  delete entry.funding;
}
writeFileSync(path, JSON.stringify(lock, null, 2) + "\n");
