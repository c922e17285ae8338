// Films of invented lamps, drawn frame by frame, and what is true of each: a
// lamp of 3 % of the width before a textured ground, seen by a camera that
// shakes, is noisy, and moves its exposure slowly and when the lamp is lit;
// beside it a bright leaf swings. ffmpeg packs them. The frames are the same
// every time; what the codes mean is in kb/demo.yaml.
//
//     node film_frames.mjs FOLDER
import { spawn } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

// The usual timing of the lamps in kb/demo.yaml.
const cart = { device: "field-cart-drive", on: 0.25, gap: 0.25, pause: 1.5 };
const trike = { device: "orchard-trike-drive", on: 0.2, gap: 0.3, groupGap: 0.9, pause: 2.5 };

const small = { width: 320, height: 240 };
const large = { width: 640, height: 360 };

// start: where in the cycle the film begins, in seconds. Nothing begins at 0.
export const films = [
	{ name: "red-4", ...small, fps: 30, seconds: 13, lamp: cart, pattern: "4", start: 0.9, scene: "dark", fault: "throttle-out-of-range" },
	{ name: "red-7", ...large, fps: 24, seconds: 14, lamp: cart, pattern: "7", start: 1.6, scene: "dark", fault: "throttle-not-at-rest" },
	{ name: "amber-3-3", ...small, fps: 30, seconds: 19, lamp: trike, pattern: "3-3", start: 0.6, scene: "bright", fault: "supply-low" },
	{ name: "amber-4-2", ...small, fps: 24, seconds: 19, lamp: trike, pattern: "4-2", start: 2.8, scene: "bright", fault: "motor-circuit-open" },
	// One frame in ten is not there.
	{ name: "lossy-5", ...small, fps: 30, seconds: 14, lamp: cart, pattern: "5", start: 3.1, scene: "dark", fault: "supply-low", lost: 0.1 },
	// As a telephone packs it that is held upright.
	{ name: "upright-3", ...small, fps: 30, seconds: 12, lamp: cart, pattern: "3", start: 0.4, scene: "dark", fault: "over-temperature-motor", format: "mp4" },
	// As a browser's own camera packs it: it does not say how long it is.
	{ name: "endless-8", ...small, fps: 24, seconds: 18, lamp: cart, pattern: "8", start: 2.2, scene: "bright", colour: "red", fault: "precharge-unfinished", format: "stream" },
	// A larger lamp beside it, that flashes evenly and says nothing.
	{ name: "beside-2", ...small, fps: 30, seconds: 13, lamp: cart, pattern: "2", start: 0.3, scene: "dark", fault: "motor-position-sensor", other: 0.6 },
	// What nothing can be read from.
	{ name: "short", ...small, fps: 30, seconds: 0.8, lamp: cart, pattern: "4", start: 0.9, scene: "dark" },
	{ name: "night", ...small, fps: 24, seconds: 5, scene: "night" },
	{ name: "still", ...small, fps: 30, seconds: 6, scene: "bright", calm: true },
	{ name: "sound", format: "sound", seconds: 8 },
	{ name: "words", format: "words" },
];

export const file = (film) => `${film.name}.${film.format === "mp4" ? "mp4" : "webm"}`;

// --- the lamp ----------------------------------------------------------------

// When it is lit and dark, in turn, for one cycle.
export function cycle({ lamp, pattern }) {
	const times = [];
	for (const [i, group] of pattern.split("-").map(Number).entries()) {
		if (i > 0)
			times[times.length - 1] = lamp.groupGap;
		for (let k = 0; k < group; k++)
			times.push(lamp.on, lamp.gap);
	}
	times[times.length - 1] = lamp.pause;
	return times;
}

// The share of the time from `from` to `to` for which it is lit.
function lit(times, from, to) {
	const period = times.reduce((sum, time) => sum + time, 0);
	let at = Math.floor(from / period) * period;
	let sum = 0;
	for (let i = 0; at < to; i = (i + 1) % times.length) {
		const end = at + times[i];
		if (i % 2 === 0)
			sum += Math.max(0, Math.min(to, end) - Math.max(from, at));
		at = end;
	}
	return sum / (to - from);
}

// --- chance, the same every time -----------------------------------------------

function chance(seed) {
	let state = seed >>> 0;
	return () => {
		// mulberry32, in the public domain.
		state = (state + 0x6d2b79f5) >>> 0;
		let z = Math.imul(state ^ (state >>> 15), state | 1);
		z ^= z + Math.imul(z ^ (z >>> 7), z | 61);
		return ((z ^ (z >>> 14)) >>> 0) / 4294967296;
	};
}

function bell(random, count) {
	const out = new Float32Array(count);
	for (let i = 0; i < count; i++)
		out[i] = Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
	return out;
}

// --- the scene -----------------------------------------------------------------

// Luma, and the two colour differences, of 8-bit video.
const scenes = {
	dark: { ground: 48, texture: 22, noise: 4, colour: "red", leaf: [88, 116, 120] },
	bright: { ground: 140, texture: 34, noise: 3, colour: "amber", leaf: [190, 118, 124] },
	night: { ground: 18, texture: 1, noise: 2 },
};
const lamps = {
	red: { dark: [52, 122, 142], bright: [150, 108, 208] },
	amber: { dark: [112, 96, 146], bright: [232, 60, 168] },
	white: { dark: [60, 128, 128], bright: [225, 124, 128] },
};
// Where the lamp is, and the one beside it, in shares of the frame.
export const spot = { x: 0.62, y: 0.42 };
export const otherSpot = { x: 0.4, y: 0.75 };
const margin = 6; // of ground beyond the frame, for shaking

function ground({ width, height }, scene, random) {
	const w = width + 2 * margin;
	const h = height + 2 * margin;
	const out = new Float32Array(w * h);
	// Three sizes of blurred blots, and a plank's edge every so often.
	for (const [cell, share] of [[64, 0.5], [19, 0.3], [5, 0.2]]) {
		const across = Math.ceil(w / cell) + 2;
		const blots = bell(random, across * (Math.ceil(h / cell) + 2));
		for (let y = 0; y < h; y++)
			for (let x = 0; x < w; x++) {
				const at = Math.floor(y / cell) * across + Math.floor(x / cell);
				const u = (x % cell) / cell;
				const v = (y % cell) / cell;
				out[y * w + x] += share * ((blots[at] * (1 - u) + blots[at + 1] * u) * (1 - v) +
					(blots[at + across] * (1 - u) + blots[at + across + 1] * u) * v);
			}
	}
	for (let y = 0; y < h; y++)
		for (let x = 0; x < w; x++)
			out[y * w + x] = Math.max(0, scene.ground + scene.texture * (out[y * w + x] - ((x + (y >> 3)) % 71 < 2 ? 1 : 0)));
	return { w, luma: out };
}

// A round thing: how much of each point it covers, soft at its edge.
function disc(plane, x, y, radius, value, halo, noise) {
	const { data, width, height, scale } = plane;
	const reach = halo ? 3 * radius : radius + 1;
	for (let j = Math.max(0, Math.floor((y - reach) / scale)); j <= Math.min(height - 1, (y + reach) / scale); j++)
		for (let i = Math.max(0, Math.floor((x - reach) / scale)); i <= Math.min(width - 1, (x + reach) / scale); i++) {
			const r = Math.hypot((i + 0.5) * scale - x, (j + 0.5) * scale - y);
			let share = Math.min(1, Math.max(0, radius + 0.5 - r));
			if (share < 1)
				share = Math.max(share, 0.15 * halo * Math.max(0, 1 - r / reach) ** 2);
			const old = data[j * width + i];
			data[j * width + i] = old + share * (value + noise() - old);
		}
}

function* frames(film) {
	const { width, height, fps, seconds } = film;
	const scene = scenes[film.scene];
	const random = chance(7 + films.indexOf(film));
	const { w, luma } = ground(film, scene, random);
	const noise = bell(random, 1 << 16).map((value) => value * scene.noise);
	const from = (length) => Math.floor(random() * (noise.length - length));
	const times = film.pattern ? cycle(film) : null;
	const size = width * height;
	let exposed = 1; // follows what is seen of the lamp
	for (let n = 0; n < Math.round(seconds * fps); n++) {
		const t = n / fps;
		// The shutter is open for half of each frame.
		const now = times ? lit(times, film.start + t, film.start + t + 0.5 / fps) : 0;
		const beside = film.other ? lit([film.other, film.other], 0.2 + t, 0.2 + t + 0.5 / fps) : 0;
		exposed += (1 - 0.06 * Math.max(now, beside) - exposed) * Math.min(1, 4 / fps);
		const gain = exposed * (1 + 0.1 * Math.sin(2 * Math.PI * t / 9 + 1));
		const shake = film.calm ? 0.4 : 1;
		const dx = shake * (1.3 * Math.sin(7.1 * t) + 1.1 * Math.sin(2.3 * t + 2));
		const dy = shake * (1.2 * Math.sin(5.7 * t + 1) + 1.3 * Math.sin(1.9 * t));
		// Between four points of the ground, by how near each is.
		const u = dx - Math.floor(dx);
		const v = dy - Math.floor(dy);
		const near = [(1 - u) * (1 - v), u * (1 - v), (1 - u) * v, u * v].map((share) => share * gain);

		const bytes = new Uint8ClampedArray(size * 3 / 2);
		for (let y = 0; y < height; y++) {
			const row = y * width;
			const at = (y + margin + Math.floor(dy)) * w + margin + Math.floor(dx);
			const k = from(width);
			for (let x = 0; x < width; x++)
				bytes[row + x] = luma[at + x] * near[0] + luma[at + x + 1] * near[1] +
					luma[at + x + w] * near[2] + luma[at + x + w + 1] * near[3] + noise[k + x];
		}
		for (let at = size; at < bytes.length; at += width / 2) {
			const k = from(width);
			const tint = at < size * 5 / 4 ? 124 : 126;
			for (let x = 0; x < width / 2; x++)
				bytes[at + x] = tint + noise[k + x];
		}

		const planes = [[0, 1], [size, 2], [size * 5 / 4, 2]].map(([begin, scale]) => ({
			data: bytes.subarray(begin, begin + size / scale / scale),
			width: width / scale, height: height / scale, scale,
		}));
		let next = from(width);
		const grain = () => noise[next++ & 0xffff];
		const put = (x, y, radius, values, halo) => planes.forEach((one, i) =>
			disc(one, x - dx, y - dy, radius, i === 0 ? values[i] * gain : values[i], halo, grain));
		const blend = ({ dark, bright }, share) => dark.map((value, i) => value + share * (bright[i] - value));
		if (scene.leaf && !film.calm) {
			const swing = 0.5 * Math.sin(2 * Math.PI * t / 2.7);
			put(0.25 * width + 0.3 * height * Math.sin(swing), 0.3 * height + 0.3 * height * Math.cos(swing),
				0.04 * width, scene.leaf, 0);
		}
		if (times)
			put(spot.x * width, spot.y * height, 0.015 * width,
				blend(lamps[film.colour || scene.colour], now), now);
		if (film.other)
			put(otherSpot.x * width, otherSpot.y * height, 0.025 * width, blend(lamps.white, beside), beside);
		yield bytes;
	}
}

// --- packed by ffmpeg ------------------------------------------------------------

async function make(folder, film) {
	const path = `${folder}/${file(film)}`;
	if (film.format === "words") {
		writeFileSync(path, "This is a text about a lamp, and no film of one.\n".repeat(100));
		return;
	}
	const quiet = ["-nostdin", "-loglevel", "error", "-y"];
	// Threads of this packer wait by spinning: on a busy machine that is slow.
	const vp8 = ["-threads", "1", "-c:v", "libvpx", "-deadline", "realtime", "-cpu-used", "16", "-b:v", "1500k", "-f", "webm"];
	const packing = {
		mp4: ["-c:v", "libx264", "-preset", "ultrafast", "-crf", "23", "-pix_fmt", "yuv420p"],
		stream: [...vp8, "-live", "1"],
	}[film.format] || vp8;
	const picture = ["-f", "rawvideo", "-pix_fmt", "yuv420p", "-s", `${film.width}x${film.height}`, "-r", String(film.fps), "-i", "-"];
	if (film.lost)
		picture.push("-vf", `select='not(n)+gte(random(1),${film.lost})'`, "-vsync", "vfr");
	const packer = spawn("ffmpeg", film.format === "sound"
		? [...quiet, "-f", "lavfi", "-i", `sine=frequency=440:duration=${film.seconds}`, "-c:a", "libvorbis", "-f", "webm", path]
		: [...quiet, ...picture, ...packing, path], { stdio: ["pipe", "inherit", "inherit"] });
	const over = new Promise((resolve, reject) => packer.on("close", (code) =>
		code === 0 ? resolve() : reject(new Error(`ffmpeg could not make ${path}`))));
	packer.stdin.on("error", () => {});
	if (film.format !== "sound")
		for (const bytes of frames(film))
			if (!packer.stdin.write(bytes))
				await Promise.race([new Promise((resolve) => packer.stdin.once("drain", resolve)), over]);
	packer.stdin.end();
	await over;
	if (film.format === "mp4")
		turn(path, film.height);
}

// Say in an MP4 file's track header (ISO/IEC 14496-12, 8.3.2) that the picture
// is to be shown a quarter turned to the right, as a telephone does.
function turn(path, height) {
	const bytes = readFileSync(path);
	const matrix = bytes.indexOf("tkhd") + 44;
	const fixed = (value) => value * 65536;
	[0, fixed(1), 0, fixed(-1), 0, 0, fixed(height), 0, 1 << 30].forEach((value, i) =>
		bytes.writeInt32BE(value, matrix + 4 * i));
	writeFileSync(path, bytes);
}

// Two at a time.
async function makeAll(folder) {
	const left = [...films];
	const worker = async () => {
		for (let film = left.shift(); film; film = left.shift())
			await make(folder, film);
	};
	await Promise.all([worker(), worker()]);
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href)
	await makeAll(process.argv[2]);
