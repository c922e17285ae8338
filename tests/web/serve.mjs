// A server for the network, started from a script: its terminal, the code and
// the addresses that it says there, and its end.
import { spawn, execFileSync } from "node:child_process";
import { once } from "node:events";

const as_root = process.getuid() === 0 ? ["--allow-root"] : [];

// server.text is all that it said so far; `terminal` gives it one that shows
// colours.
export async function serve_lan(program, book, { port = 0, terminal = false } = {}) {
	const words = [program, "--book", book, "serve", "--lan", "--port", String(port), ...as_root];
	const child = terminal ? spawn("script", ["-qefc", `exec ${words.map((word) => `'${word}'`).join(" ")}`, "/dev/null"],
		{ stdio: ["ignore", "pipe", "pipe"], env: { ...process.env, TERM: "xterm-256color" } })
		: spawn(words[0], words.slice(1), { stdio: ["ignore", "pipe", "pipe"] });
	// Also where the test ends early.
	process.on("exit", () => child.kill("SIGKILL"));
	const server = { child, pid: child.pid, text: "", errors: "", port: 0 };
	// What is written may arrive in pieces that end within a character.
	child.stdout.setEncoding("utf8");
	child.stderr.setEncoding("utf8");
	child.stdout.on("data", (data) => { server.text += data; });
	child.stderr.on("data", (data) => { server.errors += data; });
	const ended = once(child, "exit");
	// until(look): waits till the terminal has what `look` finds.
	server.until = async (look, ms = 30000) => {
		for (const end = Date.now() + ms; Date.now() < end && child.exitCode === null;) {
			const found = look(server.text);
			if (found)
				return found;
			await new Promise((resolve) => setTimeout(resolve, 50));
		}
		throw new Error(`the terminal does not say it: ${server.text}${server.errors}`);
	};
	server.stop = async () => {
		child.kill("SIGTERM");
		const [status, signal] = await ended;
		return { status, signal };
	};
	server.addresses = () => [...server.text.matchAll(/https?:\/\/[^\s/]+\//g)].map(([address]) => address)
		.filter((address, i, all) => all.indexOf(address) === i);
	// The last code that was said; six digits that stand by themselves.
	server.code = () => [...server.text.matchAll(/(?<![\d.:])(\d{3})[ -]?(\d{3})(?![\d.:])/g)].map((one) => one[1] + one[2]).at(-1);
	server.blocks = () => server.text.split("\n").filter((line) => /[█▀▄]/.test(line));
	server.port = Number((await server.until((text) => /https?:\/\/[^\s/]+:(\d+)\//.exec(text)))[1]);
	return server;
}

export const run = (program, book, ...words) =>
	execFileSync(program, ["--book", book, ...words], { encoding: "utf8" });
