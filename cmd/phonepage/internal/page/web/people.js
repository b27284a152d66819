// How many people are in the room, said once for all views.

import { one } from "clapladder/dom.js";
import { texts } from "clapladder/store.js";

export const people = () => Math.max(0, Math.floor(Number(one("people").value) || 0));

export async function setUp() {
  one("people").value = (await texts.get("people").catch(() => "")) || "";
  one("people").addEventListener("change", () => texts.put("people", String(people() || "")).catch(() => {}));
}
