// Crowds of clients that take their time, or all the room there is, beside a
// good one; and that the server lets all of them go.
//
//     node crowd.mjs PORT PID
import { readFileSync, readdirSync } from "node:fs";
import net from "node:net";
import { checker } from "./walk.mjs";
import { Client } from "./wire.mjs";

const port = Number(process.argv[2]), pid = Number(process.argv[3]);
const check = checker("crowd");
const host = `Host: 127.0.0.1:${port}\r\n`;
const good = new Client(port);
await good.get("/devices/new");
const get = (target) => `GET ${target} HTTP/1.1\r\n${host}\r\n`;
const post = `POST /notes HTTP/1.1\r\n${host}Origin: http://127.0.0.1:${port}\r\nCookie: ${good.cookie()}\r\n` +
	"Content-Type: application/x-www-form-urlencoded\r\n";

const about = (what) => Number(new RegExp(`${what}:\\s*(\\d+)`).exec(readFileSync(`/proc/${pid}/status`, "utf8"))?.[1]);
const handles = () => readdirSync(`/proc/${pid}/fd`).length;
const sleep = (ms) => new Promise((resolve) => setTimeout(resolve, ms));
const at_rest = handles();

// `count` clients that send `first`, then what `drip` gives, once a second,
// and do not read what comes where `deaf`.
function crowd(count, first, { drip = () => null, deaf = false, from } = {}) {
	const all = Array.from({ length: count }, (_, i) => {
		const socket = net.connect({ port, host: "127.0.0.1", localAddress: from?.(i) });
		let at = 0;
		socket.open = true;
		socket.on("connect", () => first && socket.write(first));
		socket.on("error", () => {});
		socket.on("close", () => { socket.open = false; clearInterval(timer); });
		if (deaf)
			socket.pause();
		else
			socket.resume();
		const timer = setInterval(() => {
			const next = drip(at++);
			if (next !== null && socket.open && !socket.destroyed)
				socket.write(next);
		}, 1000);
		return socket;
	});
	all.end = () => all.forEach((socket) => socket.destroy());
	all.left = () => all.filter((socket) => socket.open).length;
	return all;
}

// A good one meanwhile, each time on a new connection: the half of its
// requests within a second, and none left out.
async function beside(what, from) {
	await sleep(500);
	const times = [];
	for (let i = 0; i < 9; i++) {
		const one = new Client(port, { from });
		const began = performance.now();
		const answer = await one.get(i % 2 ? "/devices/new" : "/", {}, { wait_ms: 10000 });
		times.push(performance.now() - began);
		check(`beside ${what}: a good one is answered`, answer.status === 200, `${answer.status}, ${answer.how}`);
	}
	times.sort((a, b) => a - b);
	check(`beside ${what}: within a second`, times[4] < 1000, times.map(Math.round).join(", "));
	console.log(`beside ${what}: ${times.map(Math.round).join(", ")} ms`);
}

const line = `GET /about HTTP/1.1\r\n${host}X: `;
const others = (i) => `127.0.0.${2 + (i % 6)}`;
const slow_body = crowd(40, `${post}Content-Length: 3000\r\n\r\n`, { drip: () => "a", from: () => "127.0.0.40" });
const slow_chunks = crowd(40, `${post}Transfer-Encoding: chunked\r\n\r\n`, { drip: () => "1\r\na\r\n", from: () => "127.0.0.41" });
const deaf = crowd(40, get("/static/app.css").repeat(300), { deaf: true, from: () => "127.0.0.42" });
await beside("120 that take their time with a body or an answer");
const slow_head = crowd(200, "", { drip: (i) => line[i] ?? "y" });
await beside("200 that send a byte a second");
const half_open = crowd(200, line);
await beside("200 more that are half open");
const silent = crowd(200, "");
await beside("200 more that say nothing");
const spread = crowd(600, line, { from: others });
await beside("600 more from six addresses");
await beside("these, from an address of its own", "127.0.0.50");
const idle = crowd(200, get("/about"));
await beside("200 more that were answered and stay");
const same_body = crowd(200, `${post}Content-Length: 3000\r\n\r\n`, { drip: () => "a" });
await beside("200 more with a slow body, from the same address");
const same_deaf = crowd(150, get("/static/app.css").repeat(300), { deaf: true });
await beside("150 more that take no answer, from the same address");
const many_bodies = crowd(600, `${post}Content-Length: 3000\r\n\r\n`, { drip: () => "a", from: others });
await beside("600 more with a slow body, from six addresses");
// Those that come back as soon as they are sent off.
let coming_back = true, came = 0;
async function stubborn(first, from) {
	while (coming_back) {
		const [one] = crowd(1, first, { drip: () => "a", from: () => from });
		came++;
		await new Promise((resolve) => one.on("close", resolve));
		await sleep(300);
	}
}
const all_back = Array.from({ length: 300 }, (_, i) => stubborn(i % 2 ? line : `${post}Content-Length: 3000\r\n\r\n`, `127.0.0.${60 + (i % 2)}`));
const all_here = Array.from({ length: 200 }, (_, i) => stubborn(i % 2 ? line : `${post}Content-Length: 3000\r\n\r\n`));
await beside("500 more that come back when they are sent off", "127.0.0.51");
await beside("them, from the address of 200 of them");
check("they do come back", came > 600, came);
coming_back = false;
const quick = Promise.all(Array.from({ length: 64 }, async () => {
	const one = new Client(port);
	const said = [];
	for (let i = 0; i < 5; i++) {
		const { status, how } = await one.get("/about", {}, { wait_ms: 30000 });
		said.push(status === 200 ? status : `${status}, ${how}`);
	}
	return said;
}));
const said = (await quick).flat();
check("64 good ones at once", said.every((status) => status === 200), said.filter((status) => status !== 200));

// All of them are let go by the server itself, some day: a head within ten
// seconds, a body and an answer within a minute, and the loop's own steps. The
// deaf do not hear of it, so the server's handles are counted.
const patience = Date.now() + 100000;
const crowds = { slow_head, half_open, silent, spread, slow_body, slow_chunks, idle, same_body, many_bodies };
await Promise.all([...all_back, ...all_here]);
while (Date.now() < patience && (handles() > at_rest + 1 || Object.values(crowds).some((one) => one.left() > 0)))
	await sleep(500);
check("no socket is left over", handles() <= at_rest + 1, `${handles()}, ${at_rest} before`);
for (const [what, one] of Object.entries(crowds)) {
	check(`${what}: the server has let all of them go`, one.left() === 0, `${one.left()} of ${one.length} are left`);
	one.end();
}
deaf.end();
same_deaf.end();
console.log(`resident at most: ${about("VmHWM")} kB`);

const last = await good.get("/");
check("it is still there", last.status === 200, last.status);
console.log(`crowd: ${check.passed} passed, ${check.failed} failed`);
process.exit(check.failed === 0 && check.passed > 0 ? 0 : 1);
