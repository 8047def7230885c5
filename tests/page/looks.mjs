// What every page must satisfy in every light and size: nothing but red in red light, no serious fault of
// accessibility, no sideways scrolling, nothing too small for a gloved thumb.

import { readFile } from "node:fs/promises";
import { packages } from "./bench.mjs";

const reach_px = 56; // the house's own bar, above the 44 px that accessibility guides ask for

// Pixels of a screenshot with any green or blue, counted by a blank page of the same browser.
async function coloured_pixels(context, png) {
  const reader = await context.newPage();
  try {
    return await reader.evaluate(async (base64) => {
      const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
      const bitmap = await createImageBitmap(new Blob([bytes], { type: "image/png" }), { colorSpaceConversion: "none" });
      const canvas = new OffscreenCanvas(bitmap.width, bitmap.height);
      const drawing = canvas.getContext("2d", { willReadFrequently: true });
      drawing.drawImage(bitmap, 0, 0);
      const { data } = drawing.getImageData(0, 0, bitmap.width, bitmap.height);
      let coloured = 0;
      let lit = 0;
      for (let i = 0; i < data.length; i += 4) {
        if (data[i + 1] > 0 || data[i + 2] > 0) coloured++;
        if (data[i] > 0) lit++;
      }
      return { coloured, lit };
    }, png.toString("base64"));
  } finally {
    await reader.close();
  }
}

// Serious and critical findings of axe, a line each.
async function axe_faults(page) {
  await page.evaluate(await readFile(packages.resolve("axe-core/axe.min.js"), "utf8"));
  const found = await page.evaluate(() => globalThis.axe.run(document, { resultTypes: ["violations"] }));
  return found.violations
    .filter(({ impact }) => impact === "serious" || impact === "critical")
    .map(
      ({ id, nodes }) =>
        `${id}: ${nodes
          .map(({ target }) => target.join(" "))
          .slice(0, 4)
          .join(" | ")}`,
    );
}

// Buttons and links that a thumb would miss, and whether the page scrolls sideways.
async function thumb_faults(page) {
  return page.evaluate((reach) => {
    const faults = [];
    const wide = document.documentElement.scrollWidth - innerWidth;
    if (wide > 0) faults.push(`scrolls sideways by ${wide} px`);
    for (const one of document.querySelectorAll("button, a[href], input:not([type=range])")) {
      const { width, height } = one.getBoundingClientRect();
      if (one.classList.contains("skip") || height === 0) continue;
      if (height < reach || width < reach)
        faults.push(`${one.textContent.trim() || one.tagName} is ${Math.round(width)} x ${Math.round(height)} px`);
    }
    return faults;
  }, reach_px);
}

// All faults of a window as it stands, a line each.
export async function look_at({ context, page }, light) {
  const faults = [...(await axe_faults(page)), ...(await thumb_faults(page))];
  if (light !== "red") return faults;
  const { coloured, lit } = await coloured_pixels(context, await page.screenshot({ fullPage: true }));
  if (coloured > 0) faults.push(`${coloured} pixels with green or blue`);
  if (lit === 0) faults.push("nothing is shown");
  return faults;
}
