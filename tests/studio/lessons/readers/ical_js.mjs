// Reads an iCalendar stream with npm's ical.js; prints [[uid, start, end, status], …] as JSON.
// node ical_js.mjs <folder of the package> <file>
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";
import { join } from "node:path";

const [folder, file] = process.argv.slice(2);
const ICAL = (await import(pathToFileURL(join(folder, "dist", "ical.js")))).default;
const root = new ICAL.Component(ICAL.parse(readFileSync(file, "utf-8")));
const stamp = (time) => Math.round(time.toJSDate().getTime() / 1000);
const rows = root.getAllSubcomponents("vevent").map((component) => {
  const event = new ICAL.Event(component);
  const status = component.getFirstPropertyValue("status");
  return [event.uid, stamp(event.startDate), stamp(event.endDate), status];
});
console.log(JSON.stringify(rows));
