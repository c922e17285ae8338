// Browsers that are not paired, or not any more, at a server for the network:
// what they get to see, guesses at the code, cookies that are planted, stolen,
// doubled or old.
//
//     node strangers.mjs PROGRAM FOLDER
import { createHash } from "node:crypto";
import { mkdirSync, statSync } from "node:fs";
import net from "node:net";
import { networkInterfaces } from "node:os";
import { checker } from "./walk.mjs";
import { Client, encode, forms, links, send } from "./wire.mjs";
import { run, serve_lan } from "./serve.mjs";

const [program, folder] = process.argv.slice(2);
mkdirSync(folder, { recursive: true });
const check = checker("strangers");
const book = `${folder}/strangers.db`;
const secret = "zqbookzq";
let server = await serve_lan(program, book);
const { port } = server;
const hex = (text) => createHash("sha256").update(text).digest("hex");

async function end(what) {
	const { status, signal } = await server.stop();
	check(`${what}: the server ends well`, status === 0, `${status} ${signal} ${server.errors}`);
	check(`${what}: nothing was found in its memory`, !/runtime error|Sanitizer/.test(server.errors), server.errors);
}
async function pair(client, code = server.code(), more = {}) {
	const page = await client.get("/pair");
	check("the page for pairing", page.status === 200 && !page.page.includes(code), `${page.status} ${page.page}`);
	return client.post("/pair", { code, ...more });
}
// Whether a browser is let in: by a page that only those see.
const is_in = async (client) => (await client.get("/notes")).status === 200;

check("a code of six digits", /^\d{6}$/.test(server.code() ?? ""), server.text);

// --- one that is paired, and what there is --------------------------------

const me = new Client(port, { agent: "Test/1.0 (a telephone) Mobile" });
const first = await me.get("/pair");
check("somebody new is asked for the code", first.status === 200 && forms(first.page).some((one) => one.method === "post"), first.page);
const planted = "0123456789abcdef0123456789abcdef";
me.cookies.screen = planted;
const letting = await pair(me);
check("the right code lets in", letting.status === 303 && letting.headers.location === "/", `${letting.status} ${letting.page}`);
check("a cookie that was planted is not kept", me.cookies.screen !== planted && /^[0-9a-f]{32}$/.test(me.cookies.screen), me.cookies.screen);
const given = letting.headers["set-cookie"] ?? "";
check("the cookie is for this server alone", /; *HttpOnly/i.test(given) && /; *SameSite=Strict/i.test(given) && /; *Path=\/(;|$)/i.test(given) && !/Domain=/i.test(given), given);
check("for a time", Number(/Max-Age=(\d+)/i.exec(given)?.[1]) <= 90 * 24 * 3600, given);
check("it is in", await is_in(me));
const thief = new Client(port);
thief.cookies.screen = planted;
check("the planted cookie is worth nothing", !(await is_in(thief)));

const new_rig = await (async () => { await me.get("/rigs"); return me.post("/rigs", { title: `A cart ${secret}`, rig: "zq-cart" }); })();
check("a rig", new_rig.status === 303, new_rig.status);
await me.get("/symptoms");
const seen = new Set(["/"]), waiting = ["/"], actions = new Set();
while (waiting.length > 0) {
	const answer = await me.get(waiting.shift());
	for (const form of forms(answer.page))
		if (form.method === "post")
			actions.add(form.action);
	for (const next of links(answer.page).concat(answer.headers.location ?? []))
		if (!seen.has(next)) {
			seen.add(next);
			waiting.push(next);
		}
}
check("there are pages and forms", seen.size > 100 && actions.size > 5, `${seen.size} ${actions.size}`);

// --- what others get of it ------------------------------------------------

const titles = ["Symptoms", "Overheated", secret, "field-cart-drive", 'name="q"'];
const bodies = new Set();
async function is_kept_out(what, client, path, more) {
	const answer = await client.get(path, more);
	check(`${what}: GET ${path} leads to the code`, answer.status === 303 &&
		/^\/pair(\?back=[\w%.~/-]*)?$/.test(answer.headers.location ?? ""), `${answer.status} ${answer.headers.location}`);
	check(`${what}: GET ${path} tells nothing`, !titles.some((title) => answer.page.includes(title)), answer.page);
	bodies.add(answer.page);
}
const stranger = new Client(port, { from: "127.0.0.9" });
for (const path of seen)
	if (path !== "/pair" && !path.startsWith("/pair?"))
		await is_kept_out("a stranger", stranger, path);
check("they all get the same", bodies.size === 1, [...bodies].join("\n"));
for (const path of ["/nothing", "/jobs/99", "/rigs/no-such", "/jobs/1/now", "/screens", "/pair/x", "/static", "//", "/%2e", "/Pair", "/pair/", "/notes?x=/static/app.css",
	"/notes?/pair", "/notes/../pair", "/static/../notes", "/static/..%2fnotes", "/pair/../notes", "/pair%2f..%2fnotes", "/pair;/notes", "/./notes"]) {
	const { status, page } = await stranger.get(path);
	check(`a stranger: ${path}`, [303, 400, 403, 404].includes(status) && !titles.some((title) => page.includes(title)), `${status} ${page}`);
}
check("whether there is such a page is not told", (await stranger.get("/rigs/zq-cart")).status === (await stranger.get("/rigs/zq-none")).status);
const asking = await stranger.get("/pair");
check("the page for strangers tells nothing either", !titles.some((title) => asking.page.includes(title)), asking.page);
for (const path of [...actions, "/devices/new", "/notes", "/jobs"])
	if (path !== "/pair") {
		const { status, page } = await stranger.post(path, { title: "stolen", words: "stolen" });
		check(`a stranger: POST ${path}`, status === 403 && !titles.some((title) => page.includes(title)), `${status} ${page}`);
	}
const head = await send(port, stranger.head("HEAD", "/rigs/zq-cart"), { head: true });
check("a stranger: HEAD", head.answers[0]?.status === 303, head.raw);
for (const method of ["OPTIONS", "PUT", "DELETE", "TRACE", "get"]) {
	const { status, page } = await stranger.ask(stranger.head(method, "/notes"));
	check(`a stranger: ${method}`, status >= 300 && status < 500 && !titles.some((title) => page.includes(title)), `${status} ${page}`);
}
for (const path of ["/static/app.css", "/static/app.js", "/static/lamp.svg"])
	check(`a stranger: ${path}`, (await stranger.get(path)).status === 200);

// Cookies that are nearly it.
const mine = me.cookies.screen;
for (const cookie of [`screen=${mine.toUpperCase()}`, `screen=${mine}0`, `screen=${mine.slice(1)}`, `screen="${mine}"`, `screen=${mine} `.repeat(2), `Screen=${mine}`,
	`xscreen=${mine}`, `screen =x; screen=`, `screen=${mine}; screen=${planted}`, `screen=${planted}; screen=${mine}`, `screen=${mine}; screen=${mine}`, `screen=${hex(mine)}`,
	`screen=${hex(mine).slice(0, 32)}`, `screen=${mine.slice(0, 31)}%30`, `screen=${mine}%00`, "screen=", "screen", "screen=%", `screen=${"0".repeat(32)}`, `screen=${"f".repeat(32)}`,
	`screen=${"a".repeat(3900)}`, `$Version=1; screen=${mine}; $Path=/x; screen=${planted}`, `screen=' OR 1=1 --`, `screen=${mine.slice(0, 16)}_______________%`]) {
	const other = new Client(port);
	await is_kept_out(`Cookie ${cookie.slice(0, 50)}`, other, "/rigs/zq-cart", { Cookie: cookie });
}
await is_kept_out("two lines of cookies", new Client(port), "/rigs/zq-cart", { Cookie: `screen=${mine}\r\nCookie: screen=${planted}` });
check("the cookie itself", (await new Client(port).get("/rigs/zq-cart", { Cookie: `screen=${mine}` })).status === 200);
check("the cookie among others", (await new Client(port).get("/rigs/zq-cart", { Cookie: `a=b; screen=${mine}; c=d` })).status === 200);

// --- tokens ---------------------------------------------------------------

const friend = new Client(port, { agent: "Test/1.0 (a desk)" });
check("a second one is let in", (await pair(friend)).status === 303);
await me.get("/rigs/zq-cart");
await friend.get("/rigs/zq-cart");
check("each has a token of its own", me.token !== friend.token && /^[0-9a-f]{32}$/.test(friend.token), `${me.token} ${friend.token}`);
const note = { kind: "rig", id: "zq-cart", words: "planted" };
for (const [what, token] of [["another's", friend.token], ["its cookie", mine], ["its cookie's hash", hex(mine).slice(0, 32)], ["none", ""],
	["a stranger's", stranger.token], ["in capitals", me.token.toUpperCase()]])
	if (token !== me.token)
		check(`a token that is ${what} is refused`, (await me.post("/notes", { ...note, token })).status === 403);
check("its own is taken", (await me.post("/notes", { ...note, words: "mine" })).status === 303);
check("nothing else was", !(await me.get("/rigs/zq-cart")).page.includes("planted"));

// --- names ----------------------------------------------------------------

const own = Object.values(networkInterfaces()).flat().filter((one) => one.family === "IPv4" && !one.internal).map((one) => one.address);
for (const address of own)
	check(`Host ${address}`, (await me.get("/notes", { Host: `${address}:${port}` })).status === 200);
for (const name of ["evil.example", "0.0.0.0", "10.255.255.253", "192.168.255.253", "127.0.0.2", ...own.flatMap((one) => [`${one}.evil.example`, `${one}.`, `0${one}`,
	one.replace(/\d+$/, (n) => (Number(n) ^ 1)), String(one.split(".").reduce((n, part) => n * 256 + Number(part), 0))])])
	for (const host of [`${name}:${port}`, name])
		if (!own.includes(name)) {
			const answer = await me.get("/notes", { Host: host });
			check(`Host ${host}`, answer.status === 403 && !answer.page.includes(secret), answer.status);
		}
for (const address of own) {
	check(`Host ${address} without the port`, (await me.get("/notes", { Host: address })).status === 403);
	check("a form from another of its addresses", (await me.post("/notes", note, { Origin: `http://${address}:${port}` })).status === 403);
	check("a form from the same one", (await me.post("/notes", { ...note, words: "mine" }, { Host: `${address}:${port}`, Origin: `http://${address}:${port}` })).status === 303);
}

// --- where to go back to --------------------------------------------------

for (const back of ["//evil.example", "https://evil.example/", "/\\evil.example", "\\\\evil.example", "javascript:alert(1)", "/a//evil.example", "%2f%2fevil.example", "evil.example",
	" //evil.example", "/\t/evil.example", "/%09/evil.example", "/@evil.example", "/.//evil.example", "/a\r\nX-Planted: 1", "///evil.example", "http:evil.example", "/pair", "/pair?back=/pair"]) {
	const other = new Client(port);
	const page = await other.get(`/pair?back=${encodeURIComponent(back)}`);
	check(`back to ${JSON.stringify(back)}: no link`, !/(href|action|content)="[^"]*evil\.example(?!%|[^"]*")/.test(page.page) || !/="(https?:)?[/\\]{2}evil/.test(page.page), page.page);
	const hidden = Object.fromEntries((forms(page.page).find((one) => one.method === "post")?.fields ?? [])
		.filter((one) => one.type === "hidden" && one.name !== "token").map((one) => [one.name, one.value]));
	for (const sent of [hidden, { back }]) {
		const third = new Client(port);
		await third.get("/pair");
		const answer = await third.post("/pair", { ...sent, code: server.code() });
		check(`back to ${JSON.stringify(back)}: ${JSON.stringify(sent)}`, answer.status === 303 && /^\/(?![/\\])[\w/?=&%.~+-]*$/.test(answer.headers.location) &&
			!answer.headers.location.includes("//") && answer.headers["x-planted"] === undefined, `${answer.status} ${answer.headers.location}`);
	}
}
const wanted = new Client(port);
const led = await wanted.get("/read?pattern=5&device=field-cart-drive");
const asked = await wanted.get(led.headers.location);
const its = Object.fromEntries(forms(asked.page).find((one) => one.method === "post").fields.map((one) => [one.name, one.value]));
const back = await wanted.post("/pair", { ...its, token: wanted.token, code: server.code() });
check("a good one is kept", back.headers.location === "/read?pattern=5&device=field-cart-drive", back.headers.location);

// --- from another site ----------------------------------------------------

// A browser keeps the cookie back there; what comes then leads to the same
// address again, and tells nothing. Nor does it make the browser a stranger.
for (const path of ["/rigs/zq-cart", "/", "/jobs", "//evil.example/", "/\\evil.example", "/?q=\"><script>lw(1)</script>", "/%0d%0aX-Planted:1"]) {
	const other = new Client(port);
	const answer = await other.get(path, { "Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate" });
	check(`a link from elsewhere to ${path}`, [200, 303, 400, 404].includes(answer.status) && !titles.some((title) => answer.page.includes(title)) &&
		!/="(\d+; *url=)?(https?:)?[/\\]{2}/i.test(answer.page.replace(/xmlns="[^"]*"/g, "")) && !answer.page.includes("<script>lw") && answer.headers["x-planted"] === undefined,
		`${answer.status} ${answer.page}`);
	check(`a link from elsewhere to ${path} gives no cookie`, answer.headers["set-cookie"] === undefined, answer.headers["set-cookie"]);
}

// --- sent away ------------------------------------------------------------

// Its form is on the way, and half of it there, when somebody is sent away.
const hasty = new Client(port);
await pair(hasty);
await hasty.get("/screens");
const hasty_row = JSON.parse(run(program, book, "screen", "list", "--json")).screens[0];
const half = await new Promise((resolve) => {
	const form = encode({ token: hasty.token, title: "A cart that is not let in", rig: "zq-half" });
	const socket = net.connect({ port, host: "127.0.0.1" });
	let got = "";
	socket.on("data", (data) => {
		got += data;
		// The server has seen the head, and whose it is.
		if (got === "HTTP/1.1 100 Continue\r\n\r\n") {
			socket.write(form.slice(0, 10));
			run(program, book, "screen", "remove", String(hasty_row.screen));
			socket.write(form.slice(10));
		} else if (/^HTTP\/1\.1 [2-5]/m.test(got.slice(got.indexOf("\r\n\r\n")))) {
			socket.destroy();
		}
	});
	socket.on("close", () => resolve(got));
	socket.on("error", () => {});
	socket.setTimeout(15000, () => socket.destroy());
	socket.write(hasty.head("POST", "/rigs", { Origin: `http://${hasty.host}`, Expect: "100-continue",
		"Content-Type": "application/x-www-form-urlencoded", "Content-Length": Buffer.byteLength(form) }));
});
check("a form on the way when its screen is sent away", /^HTTP\/1\.1 100 [\s\S]*^HTTP\/1\.1 403 /m.test(half), half);
check("is not taken", !run(program, book, "rig", "list").includes("zq-half"));

const listed = () => JSON.parse(run(program, book, "screen", "list", "--json")).screens;
check("they are listed", listed().length >= 2, JSON.stringify(listed()));
check("the list has no cookie and no key", !JSON.stringify(listed()).includes(mine) && !JSON.stringify(listed()).includes(hex(mine)), JSON.stringify(listed()));
const known = server.code();
run(program, book, "screen", "remove", "--all");
check("all are out at once", !(await is_in(me)) && !(await is_in(friend)) && !(await is_in(wanted)));
check("an old cookie and its token do nothing", (await me.post("/notes", { ...note, words: "late" })).status === 403);
me.cookies.screen = mine;
check("nor when it is sent again", !(await is_in(me)));
check("the code that they knew is good no more", (await pair(me, known)).status === 403);
await server.until(() => server.code() !== known);
await pair(me);
check("it may come back with the code", await is_in(me));
check("as another one", me.cookies.screen !== mine);
await pair(friend);
const screens = await me.get("/screens");
check("a page lists them", screens.status === 200 && forms(screens.page).filter((one) => one.method === "post").length > 0, screens.page);
check("with no cookie and no key", ![mine, me.cookies.screen, friend.cookies.screen, hex(me.cookies.screen), hex(friend.cookies.screen), server.code()]
	.some((one) => screens.page.includes(one)));
// Every form that is there is sent until the other one is away.
for (const form of forms(screens.page).filter((one) => one.method === "post" && !/name/.test(one.action)))
	if (await is_in(friend) && await is_in(me)) {
		const fields = Object.fromEntries(form.fields.map((one) => [one.name, one.value]));
		check("the form of another is refused", (await friend.post(form.action, { ...fields, token: me.token })).status === 403);
		await me.get("/screens");
		await me.post(form.action, { ...fields, token: me.token });
	}
const outcome = [await is_in(me), await is_in(friend)];
check("one of them is sent away on the page", outcome.filter(Boolean).length <= 1, outcome);

// --- guesses --------------------------------------------------------------

const wrong = () => String((Number(server.code()) + 1 + Math.floor(Math.random() * 99998)) % 1000000).padStart(6, "0");
// Others' pages cannot guess for somebody, and so cannot lock either.
for (let i = 0; i < 12; i++) {
	const other = new Client(port);
	await other.get("/pair");
	check("a guess from another site", (await other.post("/pair", { code: wrong() }, { Origin: "http://evil.example" })).status === 403);
	check("a guess without a token", (await other.post("/pair", encode({ code: wrong() }))).status === 403);
	check("a guess with another name", (await other.post("/pair", { code: wrong() }, { Host: `evil.example:${port}`, Origin: `http://evil.example:${port}` })).status === 403);
}
const spaced = new Client(port);
check("blanks and hyphens in the code are passed over", (await pair(spaced, ` ${server.code().slice(0, 3)} - ${server.code().slice(3)} `)).status === 303);
const size = statSync(book).size;
const right = server.code();
const guesser = new Client(port, { from: "127.0.0.66", agent: "Test\x1b[2J\x1b]0;x\x07\xc2\x9b2J (a guesser)" });
const odd = ["", "0", wrong() + wrong(), `${right}0`, `0${right}`, "１２３４５６", "-1", "1e5", "0x1", "a".repeat(3000), `${right}\u0000`, right.split("").join("\u00a0")];
let status = 0, tries = 0;
for (let i = 0; i < 40 && status !== 429; i++, tries++) {
	await guesser.get("/pair");
	const answer = await guesser.post("/pair", { code: wrong() });
	status = answer.status;
	check("a wrong one is refused", status >= 400 && status < 500 && !(await is_in(guesser)), `${status}`);
	check("and told no more", !answer.page.includes(right) && !titles.some((title) => answer.page.includes(title)), answer.page);
}
check("five wrong ones lock", tries <= 5 && status === 429, `${tries} ${status}`);
await server.until((text) => text.includes("127.0.0.66")).catch(() => {});
check("the terminal says who", server.text.includes("127.0.0.66") || server.errors.includes("127.0.0.66"), server.text + server.errors);
check("in words alone", !/[\x00-\x08\x0b-\x1f\x7f-\x9f]/.test(server.text + server.errors), JSON.stringify(server.text + server.errors));
const locked = new Client(port);
await locked.get("/pair");
const refused = await locked.post("/pair", { code: right });
check("the right one is refused while it is locked", refused.status === 429, refused.status);
check("with when to come again", Number(refused.headers["retry-after"]) > 0 && Number(refused.headers["retry-after"]) <= 60, refused.headers["retry-after"]);
check("to everybody", !(await is_in(locked)));
check("those who are in stay in", await is_in(spaced));
await spaced.get("/screens");
await spaced.post("/screens/code", {});
check("a new code does not unlock", (await locked.post("/pair", { code: server.code() })).status === 429);
const unasked = await locked.get("/pair");
check("the page says so", [200, 429].includes(unasked.status) && /role="alert"[^>]*>Five wrong codes/.test(unasked.page) && /\b\d+ s\b/.test(unasked.page), unasked.page);
await end("guesses");

// Many at once are no more than five.
server = await serve_lan(program, book);
const many = await Promise.all(Array.from({ length: 60 }, async (_, i) => {
	const one = new Client(server.port, { from: `127.0.1.${i + 1}` });
	await one.get("/pair");
	return one;
}));
const answers = await Promise.all(many.map((one, i) => one.post("/pair", { code: i === 59 ? server.code() : wrong() })));
const looked_at = answers.filter((one) => one.status !== 429).length;
check("of many guesses at once five are looked at", looked_at <= 5, answers.map((one) => one.status).join(" "));
check("nobody else", answers.filter((one) => one.status === 303).length <= 1);
await end("many guesses");

// Whatever is sent as a code, it is not taken, and locks in the end.
for (const [i, code] of odd.entries()) {
	if (i % 4 === 0)
		server = await serve_lan(program, book);
	const one = new Client(server.port);
	await one.get("/pair");
	const answer = await one.post("/pair", { code: code.replaceAll(right, server.code()) });
	check(`the code ${JSON.stringify(code.slice(0, 20))}`, answer.status >= 400 && answer.status < 500 && !(await is_in(one)), answer.status);
	if (i % 4 === 3 || i === odd.length - 1)
		await end("odd codes");
}

// A name that a browser gives itself is words and no more.
server = await serve_lan(program, book);
for (const agent of [guesser.agent, "<script>lw(1)</script>\"><img src=x onerror=lw(2)>", "\xe2\x80\xae evil", "\xff\xfe", "a".repeat(5000), ""]) {
	const one = new Client(server.port, { agent });
	check("such a browser is paired", (await pair(one)).status === 303, agent.slice(0, 40));
	const { page } = await one.get("/screens");
	check("its name is escaped", !page.includes("<script>lw") && !page.includes("<img src=x") && !/[\x00-\x08\x0b-\x1f\x7f-\x9f]/.test(page), page);
	const list = run(program, book, "screen", "list");
	check("and has nothing that moves a terminal", !/[\x00-\x08\x0b-\x1f\x7f-\x9f]/.test(list), JSON.stringify(list));
}
// Strangers leave nothing in the book.
const before = statSync(book).size;
await Promise.all(Array.from({ length: 300 }, () => new Client(server.port).get("/pair")));
check("strangers leave nothing in the book", statSync(book).size === before, `${before} ${size}`);
check("and no screen", listed().length <= 64);
await end("names");

console.log(`strangers: ${check.passed} passed, ${check.failed} failed`);
process.exit(check.failed === 0 && check.passed > 0 ? 0 : 1);
