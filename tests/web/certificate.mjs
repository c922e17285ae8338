// Makes throwaway certificates for the tests of TLS, in DER by hand (X.690,
// RFC 5280, RFC 5480), because the tools for it need not be there.
//
//     node certificate.mjs FOLDER      makes the files there
//     node certificate.mjs print FILE  its SHA-256, as the outside has it
//     node certificate.mjs speaks PORT TLSv1.1    what a handshake comes to
import { generateKeyPairSync, randomBytes, sign, X509Certificate } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import tls from "node:tls";

function der(tag, ...parts) {
	const body = Buffer.concat(parts.map((part) => Buffer.from(part)));
	const length = body.length < 128 ? [body.length]
		: body.length < 256 ? [0x81, body.length] : [0x82, body.length >> 8, body.length & 255];
	return Buffer.concat([Buffer.from([tag, ...length]), body]);
}
const sequence = (...parts) => der(0x30, ...parts);
function oid(text) {
	const [first, second, ...rest] = text.split(".").map(Number);
	const bytes = [40 * first + second];
	for (const number of rest) {
		const septets = [number & 127];
		for (let left = number >> 7; left > 0; left >>= 7)
			septets.unshift((left & 127) | 128);
		bytes.push(...septets);
	}
	return der(6, bytes);
}
const time = (date) => der(0x17, `${date.toISOString().replace(/[-:T]/g, "").slice(2, 14)}Z`);
const pem = (what, bytes) =>
	`-----BEGIN ${what}-----\n${bytes.toString("base64").replace(/.{1,64}/g, "$&\n")}-----END ${what}-----\n`;

const years = (count) => new Date(Date.now() + count * 365 * 24 * 3600 * 1000);

// A certificate that signs itself, for names and addresses.
function certificate(pair, from, until, names, addresses) {
	const algorithm = sequence(oid("1.2.840.10045.4.3.2")); // ECDSA with SHA-256
	const whose = sequence(der(0x31, sequence(oid("2.5.4.3"), der(12, "common.test"))));
	const for_them = sequence(...names.map((name) => der(0x82, name)), ...addresses.map((text) => der(0x87, text.split(".").map(Number))));
	const body = sequence(der(0xa0, der(2, [2])), der(2, [1, ...randomBytes(8)]), algorithm, whose,
		sequence(time(from), time(until)), whose, pair.publicKey.export({ type: "spki", format: "der" }),
		der(0xa3, sequence(sequence(oid("2.5.29.17"), der(4, for_them)))));
	return pem("CERTIFICATE", sequence(body, algorithm, der(3, [0], sign("sha256", body, pair.privateKey))));
}

function make(folder) {
	const pair = generateKeyPairSync("ec", { namedCurve: "prime256v1" });
	const other = generateKeyPairSync("ec", { namedCurve: "prime256v1" });
	const write = (name, text) => writeFileSync(`${folder}/${name}`, text, { mode: 0o600 });
	const names = ["Workshop.test", "*.bench.test", "localhost"];

	write("good.pem", certificate(pair, years(-1), years(1), names, ["127.0.0.1", "203.0.113.5"]));
	write("over.pem", certificate(pair, years(-2), years(-1), names, ["127.0.0.1"]));
	write("later.pem", certificate(pair, years(1), years(2), names, ["127.0.0.1"]));
	write("good.key", pair.privateKey.export({ type: "pkcs8", format: "pem" }));
	write("old.key", pair.privateKey.export({ type: "sec1", format: "pem" }));
	write("other.key", other.privateKey.export({ type: "pkcs8", format: "pem" }));
	write("locked.key", pair.privateKey.export({ type: "pkcs8", format: "pem", cipher: "aes-256-cbc", passphrase: "a" }));
	write("old-locked.key", pair.privateKey.export({ type: "sec1", format: "pem", cipher: "aes-128-cbc", passphrase: "a" }));
	write("broken.pem", pem("CERTIFICATE", randomBytes(300)));
	write("broken.key", pem("PRIVATE KEY", randomBytes(100)));
	write("text.pem", "This is no certificate.\n");
	write("long.pem", readFileSync(`${folder}/good.pem`, "utf8") + "a".repeat(64 * 1024));
}

const [what, one, two] = process.argv.slice(2);
if (what === "print") {
	console.log(new X509Certificate(readFileSync(one)).fingerprint256);
} else if (what === "speaks") {
	// At level 0 this side would take any version, so it is the other that
	// says no.
	const socket = tls.connect({ port: Number(one), host: "127.0.0.1", rejectUnauthorized: false,
		minVersion: two, maxVersion: two, ciphers: "ALL:@SECLEVEL=0" });
	socket.on("secureConnect", () => { console.log(socket.getProtocol()); socket.destroy(); });
	socket.on("error", (error) => console.log(`no: ${error.code}`));
} else {
	make(what);
}
