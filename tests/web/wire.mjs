// HTTP by hand: bytes as they are over a socket, and what comes back; and a
// small browser on top of it, with cookies, links and forms, for tests that
// have to send what no browser sends.
import net from "node:net";

// Send `bytes` (texts are Latin-1; a list is sent piece by piece) and collect
// what comes back till the server closes, `answers` whole answers are there,
// or `wait_ms` are over.
export function send(port, bytes, { answers = 1, wait_ms = 15000, from, end = false, head = false } = {}) {
	return new Promise((resolve) => {
		const got = [];
		const socket = net.connect({ port, host: "127.0.0.1", localAddress: from });
		let over = false;
		const done = (how) => {
			if (over)
				return;
			over = true;
			clearTimeout(timer);
			socket.destroy();
			const raw = Buffer.concat(got).toString("latin1");
			resolve({ how, raw, answers: parse(raw, head) });
		};
		const timer = setTimeout(() => done("silent"), wait_ms);
		socket.on("connect", () => {
			for (const piece of Array.isArray(bytes) ? bytes : [bytes])
				socket.write(typeof piece === "string" ? Buffer.from(piece, "latin1") : piece);
			if (end)
				socket.end();
		});
		socket.on("data", (data) => {
			got.push(data);
			const all = parse(Buffer.concat(got).toString("latin1"), head);
			if (all.every((one) => one.whole) && all.filter((one) => one.status >= 200).length >= answers)
				done("answered");
		});
		socket.on("error", () => done("closed"));
		socket.on("close", () => done("closed"));
	});
}

// The answers in a row of bytes.
export function parse(raw, head = false) {
	const answers = [];
	while (raw.length > 0) {
		const end = raw.indexOf("\r\n\r\n");
		const lines = (end < 0 ? raw : raw.slice(0, end)).split("\r\n");
		const first = /^HTTP\/1\.[01] (\d{3})/.exec(lines[0]);
		const answer = { status: first ? Number(first[1]) : 0, headers: {}, list: lines.slice(1), body: "", whole: end >= 0 };
		for (const line of lines.slice(1)) {
			const at = line.indexOf(":");
			const name = line.slice(0, at).toLowerCase();
			answer.headers[name] = name in answer.headers
				? `${answer.headers[name]}\n${line.slice(at + 1).trim()}` : line.slice(at + 1).trim();
		}
		answers.push(answer);
		if (end < 0)
			break;
		raw = raw.slice(end + 4);
		if (answer.status < 200)
			continue;
		const length = head || answer.status === 304 ? 0 : Number(answer.headers["content-length"] ?? raw.length);
		answer.body = raw.slice(0, length);
		answer.whole = answer.body.length === length;
		raw = raw.slice(length);
	}
	return answers;
}

const entities = { lt: "<", gt: ">", quot: '"', amp: "&", "#39": "'" };
export const plain = (text) => text.replace(/&(lt|gt|quot|amp|#39);/g, (_, name) => entities[name]);

// The attributes of a tag; pages are well-formed, so each has its quotes.
function attributes(tag) {
	const found = {};
	for (const [, name, value] of tag.matchAll(/([\w:-]+)="([^"]*)"/g))
		found[name] = plain(value);
	return found;
}

// The addresses of this server that a page leads to.
export function links(page) {
	const found = [];
	for (const [tag] of page.matchAll(/<a\b[^>]*>/g)) {
		const { href } = attributes(tag);
		if (href?.startsWith("/"))
			found.push(href.replace(/#.*/, ""));
	}
	return found;
}

// The forms of a page: {method, action, fields[]: {name, type, value,
// values[], required}}; of a choice the one that is chosen, or the first, and
// all.
export function forms(page) {
	const found = [];
	for (const [, open, inside] of page.matchAll(/<form\b([^>]*)>([\s\S]*?)<\/form>/g)) {
		const form = { method: "get", action: "", ...attributes(open), fields: [] };
		const by_name = (name, type) => {
			let field = form.fields.find((one) => one.name === name);
			if (!field)
				form.fields.push(field = { name, type, value: "", values: [], required: false });
			return field;
		};
		for (const [, what, rest, content] of inside.matchAll(
			/<(input|button|select|textarea)\b([^>]*?)(?:\/>|>([\s\S]*?)<\/\1>)/g)) {
			const its = attributes(rest);
			if (its.name === undefined)
				continue;
			if (what === "textarea") {
				Object.assign(by_name(its.name, "textarea"), { value: plain(content ?? "").trim(), required: "required" in its });
			} else if (what === "select") {
				const field = by_name(its.name, "select");
				for (const [option] of (content ?? "").matchAll(/<option\b[^>]*>/g)) {
					const { value, selected } = attributes(option);
					field.values.push(value);
					if (selected)
						field.value = value;
				}
				field.value ||= field.values.find(Boolean) ?? "";
			} else if (what === "button" || ["radio", "checkbox", "submit"].includes(its.type)) {
				const field = by_name(its.name, what === "button" ? "submit" : its.type);
				field.values.push(its.value ?? "");
				if (its.checked || field.value === "")
					field.value = its.value ?? "";
			} else {
				Object.assign(by_name(its.name, its.type ?? "text"), { value: its.value ?? "", required: "required" in its });
			}
		}
		found.push(form);
	}
	return found;
}

export const encode = (fields) => Object.entries(fields)
	.map(([name, value]) => `${encodeURIComponent(name)}=${encodeURIComponent(value)}`).join("&");

// What a browser keeps: cookies, and the token of the last page with one.
export class Client {
	constructor(port, { host = `127.0.0.1:${port}`, from, agent = "Test/1.0 (a wire)" } = {}) {
		Object.assign(this, { port, host, from, agent, cookies: {}, token: "" });
	}
	cookie() {
		return Object.entries(this.cookies).map(([name, value]) => `${name}=${value}`).join("; ");
	}
	head(method, path, more = {}) {
		const cookie = this.cookie();
		const lines = { Host: this.host, "User-Agent": this.agent, ...(cookie && { Cookie: cookie }), ...more };
		return `${method} ${path} HTTP/1.1\r\n${Object.entries(lines)
			.filter(([, value]) => value !== null).map(([name, value]) => `${name}: ${value}\r\n`).join("")}\r\n`;
	}
	async ask(bytes, options) {
		const { answers, how } = await send(this.port, bytes, { from: this.from, ...options });
		const answer = answers.find((one) => one.status >= 200) ?? { status: 0, headers: {}, list: [], body: "" };
		answer.how = how;
		const text = Buffer.from(answer.body, "latin1").toString("utf8");
		answer.page = text;
		for (const line of (answer.headers["set-cookie"] ?? "").split("\n")) {
			const [, name, value] = /^([\w-]+)=([^;]*)/.exec(line) ?? [];
			if (name)
				this.cookies[name] = value;
		}
		this.token = /name="token" value="([0-9a-f]+)"/.exec(text)?.[1] ?? this.token;
		return answer;
	}
	get(path, more, options) {
		return this.ask(this.head("GET", path, more), options);
	}
	post(path, fields, more = {}, options) {
		const body = typeof fields === "string" ? fields : encode({ token: this.token, ...fields });
		return this.ask(this.head("POST", path, {
			Origin: `http://${this.host}`,
			"Content-Type": "application/x-www-form-urlencoded",
			"Content-Length": Buffer.byteLength(body),
			...more,
		}) + body, options);
	}
}
