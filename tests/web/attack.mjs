// Requests that no browser sends: names, addresses, lines and bodies that are
// built to confuse.
//
//     node attack.mjs PORT
import { checker } from "./walk.mjs";
import { Client, encode, send } from "./wire.mjs";

const port = Number(process.argv[2]);
const check = checker("attack");
const host = `Host: 127.0.0.1:${port}\r\n`;
const good = new Client(port);
await good.get("/devices/new");
check("a token of one's own", /^[0-9a-f]{32}$/.test(good.token), good.token);
check("a cookie of one's own", /^[0-9a-f]{32}$/.test(good.cookies.screen ?? ""), good.cookie());

const policy = "default-src 'self'; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'";
// Stands in whatever is sent, where it can; it never comes back as it is.
const mark = "zq<mark>zq";

// What every answer keeps to, whoever asked: our headers, or a refusal of the
// library's own that closes and repeats nothing of what was sent.
function keeps(what, answer) {
	if (answer.status >= 200 && answer.headers["content-security-policy"] === undefined)
		check(`${what}: a refusal without our headers closes`,
			answer.status >= 400 && answer.headers.connection === "close", JSON.stringify(answer));
	else if (answer.status >= 200)
		check(`${what}: headers`, answer.headers["content-security-policy"] === policy &&
			answer.headers["x-content-type-options"] === "nosniff" &&
			answer.headers["referrer-policy"] === "same-origin", JSON.stringify(answer.headers));
	check(`${what}: nothing is repeated as it was sent`, !answer.body.includes(mark), answer.body);
	check(`${what}: one line a header`, !/[\r\n]x-planted/i.test(`\n${answer.list.join("\n")}`), answer.list.join("\n"));
}

// tries(what, bytes, statuses): 0 is a connection that was closed, "silent"
// one that is left waiting for more.
async function tries(what, bytes, statuses, options) {
	const { how, answers, raw } = await send(port, bytes, { wait_ms: statuses.includes("silent") ? 1000 : 20000, ...options });
	const final = answers.filter((one) => one.status >= 200);
	const got = final[0]?.status ?? (how === "silent" ? "silent" : 0);
	check(`${what}: ${statuses.join(" or ")}`, statuses.includes(got), `is ${got}, ${how}: ${raw.slice(0, 300)}`);
	for (const answer of final)
		keeps(what, answer);
	return { answers: final, raw, how };
}
const get = (target, more = "", version = "HTTP/1.1") => `GET ${target} ${version}\r\n${host}${more}\r\n`;

// --- whose name -----------------------------------------------------------

const p = port;
for (const name of ["evil.example", `evil.example:${p}`, `LOCALHOST.evil.example:${p}`, `127.0.0.1.:${p}`, `127.0.0.1:${p}.`,
	`127.0.0.1:${p}:${p}`, `127.0.0.1:0${p}`, `127.0.0.1:+${p}`, `127.0.0.1:${p}x`, `127.0.0.1:${p}/`, `127.0.0.1:${p}#`,
	`127.0.0.1:${p}?`, `127.0.0.1:${p}@evil.example`, `evil.example@127.0.0.1:${p}`, `evil.example#127.0.0.1:${p}`,
	`evil.example/127.0.0.1:${p}`, `127.0.0.1 :${p}`, `127.0.0.1: ${p}`, `127.0.0.1\t:${p}`, `http://127.0.0.1:${p}`, `//127.0.0.1:${p}`,
	// Ways to spell 127.0.0.1 that some resolvers read (inet_aton).
	`127.1:${p}`, `127.0.1:${p}`, `2130706433:${p}`, `0x7f000001:${p}`, `0x7f.0.0.1:${p}`, `0177.0.0.1:${p}`, `017700000001:${p}`,
	`127.000.000.001:${p}`, `0:${p}`, `0.0.0.0:${p}`, `127.0.0.2:${p}`, `127.255.255.255:${p}`, `256.0.0.1:${p}`,
	// And ::1 (RFC 4291, section 2.2; RFC 6874).
	`::1:${p}`, `[::]:${p}`, `[0:0:0:0:0:0:0:1]:${p}`, `[::0001]:${p}`, `[::1%25lo]:${p}`, `[::ffff:127.0.0.1]:${p}`, `[::ffff:7f00:1]:${p}`,
	`[::1]]:${p}`, `[127.0.0.1]:${p}`, `localhost.:${p}`, `localhost..:${p}`, `.localhost:${p}`, `localhost.localdomain:${p}`,
	`sub.localhost:${p}`, `ip6-localhost:${p}`, `%6cocalhost:${p}`, `localhost%00:${p}`, `localhost%2e:${p}`, `localhost\\:${p}`,
	`127.0.0.1:${p};x`, `127.0.0.1:${p} x`, `127.0.0.1:${p},127.0.0.1:${p}`, `"127.0.0.1:${p}"`, `127.0.0.1:${p}\xa0`,
	`127\xe3\x80\x820.0.1:${p}`, `\xef\xbc\x91\xef\xbc\x92\xef\xbc\x97.0.0.1:${p}`, `\x00127.0.0.1:${p}`,
	`127.0.0.1:${p + 65536}`, `127.0.0.1:-${p}`, `127.0.0.1:`, ":", "", "*", "null", `${"a.".repeat(2000)}example:${p}`, mark]) {
	const { answers: [answer] } = await tries(`Host ${JSON.stringify(name).slice(0, 60)}`,
		`GET /devices/new HTTP/1.1\r\nHost: ${name}\r\nCookie: ${good.cookie()}\r\n\r\n`, [400, 403, 431, 0]);
	check(`Host ${name}: no token, no cookie`, !answer?.body.includes(good.token) && !answer?.body.includes('name="token"') &&
		answer?.headers["set-cookie"] === undefined, answer?.body);
}
for (const more of [`X-Forwarded-Host: 127.0.0.1:${p}`, `X-Host: 127.0.0.1:${p}`, `X-Original-Host: 127.0.0.1:${p}`,
	`Forwarded: host="127.0.0.1:${p}";for=127.0.0.1`, `X-Forwarded-For: 127.0.0.1`, `X-Original-URL: /`, `Host : 127.0.0.1:${p}`,
	`Host: 127.0.0.1:${p}`, `hOST: 127.0.0.1:${p}`, ` Host: 127.0.0.1:${p}`])
	await tries(`another name, and ${more}`, `GET / HTTP/1.1\r\nHost: evil.example\r\n${more}\r\n\r\n`, [400, 403]);
await tries("a good name, then another", get("/", "Host: evil.example\r\n"), [400, 403]);
await tries("a name that goes on in the next line", `GET / HTTP/1.1\r\nHost: evil.example\r\n 127.0.0.1:${p}\r\n\r\n`, [400, 403]);
await tries("a name hidden in the line before", `GET / HTTP/1.1\r\nX: y\r\n ${host}\r\n`, [400, 403]);
// The library ends a header at a NUL; no browser sends one (Fetch, "header
// value"), so that is no way around the name.
await tries("a good name and a NUL", `GET / HTTP/1.1\r\nHost: 127.0.0.1:${p}\0.evil.example\r\n\r\n`, [200, 400, 403]);
await tries("a NUL and a good name", `GET / HTTP/1.1\r\nHost: evil.example\x00127.0.0.1:${p}\r\n\r\n`, [400, 403]);
await tries("no name in HTTP/1.1", "GET / HTTP/1.1\r\n\r\n", [400, 403]);
await tries("no name in HTTP/1.0", "GET / HTTP/1.0\r\n\r\n", [400, 403]);
for (const name of [`127.0.0.1:${p}`, `localhost:${p}`, `[::1]:${p}`])
	await tries(`Host ${name}`, `GET / HTTP/1.1\r\nHost: ${name}\r\n\r\n`, [200]);

// --- what is asked for ----------------------------------------------------

for (const target of ["http://evil.example/", `http://127.0.0.1:${p}/`, "https://evil.example/", "//evil.example/", "///", "\\", "/\\", "*",
	"evil.example:443", "?", "#", "x", "javascript:alert(1)", "file:///etc/passwd", "/..", "/../..", "/./", "/.", "/%2e", "/%2E%2E/", "/..;/",
	"/%2f", "/%2F%2Fevil.example", "/%5c", "/%00", "/about%00", "/%00about", "/%c0%af", "/%c0%ae%c0%ae/", "/%e0%80%af", "/%ed%a0%80", "/%f4%90%80%80",
	"/%f0%82%82%ac", "/%u002f", "/%25%32%66", "/%252e%252e%252f", "/%", "/%2", "/%g0", "/%0d%0aX-Planted:1", "/%0a", "/%7f", "/about/", "//about",
	"/about//", "/about/.", "/about/..", "/ABOUT", "/about;x", "/about%20", "/about.", "/about~", "/about.html", "/about#x", "/static/../about",
	"/static/..%2f..%2f..%2f..%2fetc%2fpasswd", "/static/....//app.css", "/static/.app.css", "/static/app.css/", "/static//app.css",
	"/static/app.css%2f", "/static/%61pp.cs", "/static/app.css%20", "/static/app.css::$DATA", "/static/web/static/app.css", "/web/static/app.css",
	"/static/*", "/jobs/*", "/jobs/1%00", "/jobs/+1", "/jobs/1e0", "/jobs/0x1", "/jobs/-0", "/jobs/%31/../2", "/jobs/99999999999999999999",
	"/jobs/9223372036854775808", "/jobs/%e2%91%a0", "/.git/config", "/.env", "/book.db", "/cgi-bin/sh", `/${mark}`, `/a/b/c/d/e/f/g/${"h/".repeat(90)}`,
	`/${"%41".repeat(170)}`, `/${"a".repeat(511)}`, `/${"a".repeat(512)}`, `/${"a".repeat(513)}`, `/${"/".repeat(600)}`]) {
	const { answers: [answer] } = await tries(`GET ${target.slice(0, 50)}`, get(target), [400, 404, 405, 414]);
	check(`GET ${target.slice(0, 50)}: no file`, !/--amber|root:|\[core\]|SQLite/.test(answer.body), answer.body);
}
for (const query of ["?said=%3Cb%3E", `?said=${mark}`, "?said=note%00", "?said=", "?&&&", "?=", "?=&=", "?%", "?%00=1", "?a=%0d%0aX-Planted:1",
	"?q=1&q=1", "?a=1;b=2", "?[]=1", "?__proto__=1", "?back=//evil.example", `?${"a".repeat(3000)}`, `?${"a=1&".repeat(1000)}`, "?????", "?#"])
	await tries(`a query of ${query.slice(0, 40)}`, get(`/${query}`), [200, 400, 404, 414, 0]);
for (const target of ["/ask?q=%0d%0aX-Planted:1", "/ask?q=5&device=%0d%0aX-Planted:1", "/ask?q=5%0aX-Planted:1&device=//evil.example",
	"/jobs/1/answer?%0d%0aX-Planted:1", "/rigs/%0d%0aX-Planted:1/use", "/rigs/..%2f..%2f%2fevil.example/use", "/rigs//evil.example/use", "/notes/1%0d"]) {
	const { answers: [answer] } = await tries(`on from ${target}`, get(target), [303, 400, 404]);
	const to = answer.headers.location ?? "/";
	check(`${target} leads nowhere else`, /^\/(?![/\\])[\x21-\x7e]*$/.test(to), to);
}
for (const [method, target] of [["OPTIONS", "*"], ["OPTIONS", "/"], ["CONNECT", "evil.example:443"], ["CONNECT", "/"], ["TRACE", "/"], ["PRI", "*"],
	["PROPFIND", "/"], ["get", "/"], ["GET\0", "/nothing"], ["G".repeat(3000), "/"], ["", "/"], ["GET<mark>", "/"], ["POST", "/"], ["PUT", "/jobs"]])
	await tries(`${method.slice(0, 20)} ${target}`, `${method} ${target} HTTP/1.1\r\n${host}X: zq\r\nX-HTTP-Method-Override: GET\r\n\r\n`, [400, 403, 404, 405, 414, 0]);
await tries("another method by a header", get("/about", "X-HTTP-Method-Override: DELETE\r\n"), [200]);

// --- lines ----------------------------------------------------------------

for (const [what, bytes, statuses] of [
	["HTTP/0.9", "GET /\r\n", [400, 0, "silent"]],
	["HTTP/0.9, with an empty line", "GET /\r\n\r\n", [400, 0]],
	["HTTP/2", get("/about", "", "HTTP/2.0"), [400, 505, 0]],
	["HTTP/9.9", get("/about", "", "HTTP/9.9"), [400, 505, 0]],
	["HTTP/1.1x", get("/about", "", "HTTP/1.1x"), [400, 505, 0]],
	["http/1.1", get("/about", "", "http/1.1"), [400, 505, 0]],
	["XTTP/1.1", get("/about", "", "XTTP/1.1"), [400, 505, 0]],
	["a preface of HTTP/2", "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n", [400, 403, 505, 0]],
	["a hello of TLS", Buffer.from("16030100a5010000a10303", "hex"), [400, 0, "silent"]],
	["bytes of all kinds", Buffer.from(Array.from({ length: 4096 }, (_, i) => (i * 7919) % 256)), [400, 403, 414, 431, 505, 0, "silent"]],
	["lines that end in LF", get("/about").replaceAll("\r", ""), [200, 400, 0]],
	["lines that end in CR", get("/about").replaceAll("\n", ""), [400, 0, "silent"]],
	["empty lines first", `\r\n\r\n${get("/about")}`, [200, 400]],
	["a line that goes on", get("/about", "X: a\r\n b\r\n"), [200, 400]],
	["a line that goes on at once", `GET /about HTTP/1.1\r\n ${host}\r\n`, [400, 403]],
	["a line without a colon", get("/about", "zq<mark>zq\r\n"), [400]],
	["a line without a name", get("/about", ": x\r\n"), [200, 400]],
	["a NUL in a header", get("/about", "X: a\0b\r\n"), [200, 400]],
	["a NUL in a cookie", get("/about", `Cookie: ${good.cookie()}\0x\r\n`), [200, 400]],
	["a NUL in an address", get("/about\0x"), [200, 400]],
	["tabs for blanks", get("/about").replaceAll(" ", "\t"), [400, 403, 0]],
	["a blank in an address", get("/about x"), [400, 404]],
	["63 headers", get("/about", "X: y\r\n".repeat(60)), [200]],
	["5000 headers", get("/about", "X: y\r\n".repeat(5000)), [431, 0]],
	["100,000 headers", get("/about", "X: y\r\n".repeat(100000)), [431, 0]],
	["a header of 1 MB", get("/about", `X: ${"y".repeat(1e6)}\r\n`), [431, 0]],
	["a header without end", `GET / HTTP/1.1\r\n${host}X: ${"y".repeat(3e6)}`, [431, 0]],
	["an address of 9 kB", get(`/${"y".repeat(9000)}`), [400, 414]],
	["a query of 9 kB", get(`/find?q=${"y".repeat(9000)}`), [400, 414]],
	["an address of 1 MB", get(`/${"y".repeat(1e6)}`), [414, 431, 0]],
	["a method of 1 MB", `${"y".repeat(1e6)} / HTTP/1.1\r\n${host}\r\n`, [400, 414, 431, 0]],
	["4000 cookies", get("/about", `Cookie: ${"y=1; ".repeat(4000)}\r\n`), [200, 400, 431, 0]],
	["4000 fields", get(`/?${"a&".repeat(4000)}`), [400, 414, 431, 0]],
	["a range of ranges", get("/static/app.css", `Range: bytes=${"0-,".repeat(900)}0-\r\n`), [200, 416]],
	["an upgrade", get("/about", "Connection: Upgrade\r\nUpgrade: h2c\r\nHTTP2-Settings: AAMAAABk\r\n"), [200]],
	["a websocket", get("/about", "Connection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n"), [200, 400]],
])
	await tries(what, bytes, statuses);

// --- bodies ---------------------------------------------------------------

// The form asks for a note on what there is none: 404 is "was read whole".
const form = encode({ token: good.token, kind: "fault", id: "no-such", words: mark });
const size = form.length;
const post = `POST /notes HTTP/1.1\r\n${host}Origin: http://127.0.0.1:${p}\r\nCookie: ${good.cookie()}\r\n` +
	"Content-Type: application/x-www-form-urlencoded\r\n";
const chunked = "Transfer-Encoding: chunked\r\n\r\n";
const whole = `${size.toString(16)}\r\n${form}\r\n0\r\n\r\n`;
await tries("a form", `${post}Content-Length: ${size}\r\n\r\n${form}`, [404]);
for (const [what, bytes, statuses] of [
	["a length below none", `${post}Content-Length: -1\r\n\r\n${form}`, [400, 413, 0]],
	["a length with a sign", `${post}Content-Length: +${size}\r\n\r\n${form}`, [400, 0]],
	["a length in hexadecimal", `${post}Content-Length: 0x10\r\n\r\n${form}`, [400, 0]],
	["a length that is none", `${post}Content-Length:\r\n\r\n${form}`, [400, 0]],
	["two lengths in one", `${post}Content-Length: ${size}, ${size}\r\n\r\n${form}`, [400, 0]],
	["a length past 64 bits", `${post}Content-Length: 18446744073709551617\r\n\r\n${form}`, [400, 413, 0]],
	["a length at the end of 64 bits", `${post}Content-Length: 18446744073709551614\r\n\r\n${form}`, [400, 413, 0]],
	["a length past all", `${post}Content-Length: ${"9".repeat(300)}\r\n\r\n${form}`, [400, 413, 0]],
	["no length", `${post}\r\n${form}`, [400, 403, 411]],
	["a packed form", `${post}Content-Encoding: gzip\r\nContent-Length: ${size}\r\n\r\n${form}`, [400, 404, 415]],
	["a packed transfer", `${post}Transfer-Encoding: gzip\r\n\r\n${whole}`, [400, 501, 0]],
	["a packed transfer in chunks", `${post}Transfer-Encoding: gzip, chunked\r\n\r\n${whole}`, [400, 501, 0]],
	["an unknown transfer", `${post}Transfer-Encoding: xchunked\r\n\r\n${whole}`, [400, 501, 0]],
	["a transfer behind a tab", `${post}Transfer-Encoding:\t\x0bchunked\r\n\r\n${whole}`, [400, 501, 0]],
	["chunks", `${post}${chunked}${whole}`, [404]],
	["chunks of one byte", `${post}${chunked}${[...form].map((c) => `1\r\n${c}\r\n`).join("")}0\r\n\r\n`, [404]],
	["chunks with words to them", `${post}${chunked}${size.toString(16)};a="b";c\r\n${form}\r\n0;d\r\n\r\n`, [400, 404]],
	["chunks with many words to them", `${post}${chunked}${size.toString(16)};a=${"b".repeat(1e5)}\r\n${form}\r\n0\r\n\r\n`, [400, 413, 431, 0, "silent"]],
	["chunks that are none", `${post}${chunked}zz\r\n${form}\r\n0\r\n\r\n`, [400, 0]],
	["chunks below none", `${post}${chunked}-1\r\n${form}\r\n0\r\n\r\n`, [400, 0]],
	["chunks past 64 bits", `${post}${chunked}ffffffffffffffff1\r\n${form}\r\n0\r\n\r\n`, [400, 413, 0]],
	["chunks longer than they say", `${post}${chunked}3\r\n${form}\r\n0\r\n\r\n`, [400, 0]],
	["chunks without an end", [`${post}${chunked}`, ...Array(80).fill(`8000\r\n${"a".repeat(0x8000)}\r\n`)], [400, 413, 0, "silent"]],
	["what comes after chunks", `${post}${chunked}${size.toString(16)}\r\n${form}\r\n0\r\nHost: evil.example\r\nOrigin: http://evil.example\r\n\r\n`, [400, 403, 404]],
	["a flood after chunks", `${post}${chunked}${size.toString(16)}\r\n${form}\r\n0\r\n${"X: y\r\n".repeat(20000)}\r\n`, [400, 413, 431, 0]],
	["a question first", `${post}Expect: 100-continue\r\nContent-Length: ${size}\r\n\r\n${form}`, [404]],
	["another question", `${post}Expect: 200-maybe\r\nContent-Length: ${size}\r\n\r\n${form}`, [400, 404, 417]],
	["a form of NUL", `${post}Content-Length: 9\r\n\r\n${"\0".repeat(9)}`, [400, 403]],
	["a name of NUL", `${post}Content-Length: ${size + 6}\r\n\r\n${form}&%00=1`, [400, 403]],
	["two tokens", `${post}Content-Length: ${size + 39}\r\n\r\ntoken=${good.token}&${form}`, [400, 403]],
	["a good token and a bad one", `${post}Content-Length: ${size + 8}\r\n\r\ntoken=0&${form}`, [400, 403]],
	["a bad token and a good one", `${post}Content-Length: ${size + 8}\r\n\r\n${form}&token=0`, [400, 403]],
	["a token of another name", `${post}Content-Length: ${size}\r\n\r\n${form.replace("token", "Token")}`, [403]],
	["a token of a list", `${post}Content-Length: ${size + 2}\r\n\r\n${form.replace("token", "token[]")}`, [403]],
	["a type that only begins so", `${post.replace("urlencoded", "urlencodedx")}Content-Length: ${size}\r\n\r\n${form}`, [400]],
	["two types", `${post}Content-Type: text/plain\r\nContent-Length: ${size}\r\n\r\n${form}`, [400]],
	["two origins in one", `${post.replace("Origin: ", "Origin: http://evil.example ")}Content-Length: ${size}\r\n\r\n${form}`, [403]],
	["an origin with a path", `${post.replace(/Origin: .*/, `Origin: http://127.0.0.1:${p}/`)}\nContent-Length: ${size}\r\n\r\n${form}`, [400, 403]],
	["an origin with a user", `${post.replace("Origin: http://", "Origin: http://x@")}Content-Length: ${size}\r\n\r\n${form}`, [403]],
	["an origin in capitals", `${post.replace("Origin: http", "Origin: HTTP")}Content-Length: ${size}\r\n\r\n${form}`, [403]],
])
	await tries(what, bytes, statuses);

// What could be taken for one request or for two is not gone on with: the
// second is never answered.
const second = get("/about");
for (const [what, bytes] of [
	["a length and chunks", `${post}Content-Length: 4\r\n${chunked}${whole}${second}`],
	["chunks and a length", `${post}Transfer-Encoding: chunked\r\nContent-Length: ${whole.length}\r\n\r\n${whole}${second}`],
	["two lengths", `${post}Content-Length: ${size}\r\nContent-Length: 3\r\n\r\n${form}${second}`],
	["two lengths, the other way", `${post}Content-Length: 3\r\nContent-Length: ${size}\r\n\r\n${form}${second}`],
	["two transfers", `${post}Transfer-Encoding: identity\r\n${chunked}${whole}${second}`],
	["two transfers, the other way", `${post}Transfer-Encoding: chunked\r\nTransfer-Encoding: identity\r\n\r\n${whole}${second}`],
	["chunks in HTTP/1.0", `${post.replace("HTTP/1.1", "HTTP/1.0")}${chunked}${whole}${second}`],
]) {
	const { answers } = await tries(what, bytes, [400, 404, 501, 0], { answers: 2, wait_ms: 5000 });
	check(`${what}: no second answer`, answers.length < 2 || answers[1].status === 0, answers.map((one) => one.status));
}
const inside = get("/devices");
const { answers: covered } = await tries("a GET with a request as its body",
	get("/about", `Content-Length: ${inside.length}\r\n`) + inside, [200, 400], { answers: 2, wait_ms: 1500 });
check("which is not answered", covered.length === 1, covered.length);
const { answers: row } = await tries("a hundred in a row", second.repeat(100), [200], { answers: 100 });
check("are all answered", row.length === 100 && row.every((one) => one.status === 200), row.length);

const last = await good.get("/");
check("it is still there", last.status === 200, last.status);
console.log(`attack: ${check.passed} passed, ${check.failed} failed`);
process.exit(check.failed === 0 && check.passed > 0 ? 0 : 1);
