// Reads QR codes with a reader package: from the half blocks of a terminal, and
// from a picture of a page.
import { createRequire } from "node:module";

const white = [255, 255, 255], black = [0, 0, 0];

// What the code in `lines` says, each character drawn as two squares one above
// the other, of `side` pixels; null for none. `light` is what a block is drawn
// in: on a dark terminal it is the lighter one, on a light one the darker.
export function read_blocks(modules, lines, light = white, side = 4) {
	const jsqr = createRequire(`${modules}/package.json`)("jsqr");
	const wide = Math.max(...lines.map((line) => [...line].length));
	const width = wide * side, height = lines.length * 2 * side;
	const pixels = new Uint8ClampedArray(width * height * 4);
	const ground = light === white ? black : white;
	for (let y = 0; y < height; y++)
		for (let x = 0; x < width; x++) {
			const row = Math.floor(y / side);
			const block = [...lines[row >> 1]][Math.floor(x / side)] ?? " ";
			const is_drawn = block === "█" || block === (row % 2 ? "▄" : "▀");
			pixels.set([...(is_drawn ? light : ground), 255], (y * width + x) * 4);
		}
	// Read as it is looked at, and not turned over.
	return jsqr(pixels, width, height, { inversionAttempts: "dontInvert" })?.data ?? null;
}

// What the code in a picture (PNG) says; null for none.
export function read_picture(modules, png) {
	const need = createRequire(`${modules}/package.json`);
	const { data, width, height } = need("pngjs").PNG.sync.read(png);
	return need("jsqr")(new Uint8ClampedArray(data), width, height, { inversionAttempts: "dontInvert" })?.data ?? null;
}
export { black, white };
