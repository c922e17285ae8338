#!/bin/sh
# TLS with a given certificate: what is said of files that will not do, who is
# answered by which name, and that old versions are refused. The certificates
# are made here, and are good for nothing else.
. "$SRC/tests/lib.sh"
. "$SRC/tests/web/serve.sh"
trap 'kill "${server:-}" 2>/dev/null' EXIT

certs=$SCRATCH/certs
mkdir "$certs"
node "$SRC/tests/web/certificate.mjs" "$certs" || not_ok "the certificates are made"
as_root=
[ "$(id -u)" -ne 0 ] || as_root=--allow-root
said() { flat "$(cat "$SCRATCH/serve.out")"; }

# --- files that will not do ------------------------------------------------

# refused WHAT CERTIFICATE KEY SENTENCE: the sentence names what is wrong
refused() {
	run timeout 20 "$LAMPWRIGHT" --book "$book" serve --port 0 --tls-cert "$certs/$2" --tls-key "$certs/$3"
	same "$1 is exit 2" 2 "$code"
	has "$1 is said" "$4" "$errout"
	same "$1: nothing is served" "" "$out"
}
refused "a certificate that is missing" none.pem good.key "the certificate $certs/none.pem cannot be opened: No such file"
refused "a key that is missing" good.pem none.key "the key $certs/none.key cannot be opened: No such file"
refused "a certificate that is none" text.pem good.key "$certs/text.pem is no certificate in PEM"
refused "a key that is none" good.pem text.pem "$certs/text.pem is no key in PEM"
refused "a folder" . good.key "$certs/. is no file to read a certificate from"
refused "a certificate that is too long" long.pem good.key "$certs/long.pem is longer than the 64 KiB that a certificate may have"
refused "a broken certificate" broken.pem good.key "$certs/broken.pem holds no certificate that can be read"
refused "a broken key" good.pem broken.key "$certs/broken.key holds no private key that can be used"
refused "a key in the place of the certificate" good.key good.key "$certs/good.key holds no certificate that can be read"
refused "a certificate in the place of the key" good.pem good.pem "$certs/good.pem holds no private key that can be used"
refused "a key that does not fit" good.pem other.key "the key $certs/other.key does not fit the certificate $certs/good.pem"
refused "an encrypted key" good.pem locked.key "the key $certs/locked.key is encrypted"
refused "an encrypted key of the older kind" good.pem old-locked.key "the key $certs/old-locked.key is encrypted"
mkfifo "$certs/pipe"
refused "a pipe" pipe good.key "$certs/pipe is no file to read a certificate from"

# --- this machine alone ------------------------------------------------------

CURL_CA_BUNDLE=$certs/good.pem
export CURL_CA_BUNDLE
serve_with="--tls-cert $certs/good.pem --tls-key $certs/good.key"
start_server
has "its address" "Lampwright is at https://127.0.0.1:$port/ (Ctrl-C ends it)" "$(said)"
print=$(node "$SRC/tests/web/certificate.mjs" print "$certs/good.pem")
same "its certificate's hash" "$print" "$(tr -d ' \n' <"$SCRATCH/serve.out" | sed 's/.*certificate:\([0-9A-F:]*\).*/\1/')"
lacks "no code, because it is this machine alone" "Pairing code" "$(said)"
lacks "nothing to say about the files" "chmod" "$(said)"
ask "$base/"
same "a page over TLS" 200 "$status"
case $headers in
*"Set-Cookie: "*Secure*) ok ;;
*) not_ok "its cookie is for TLS alone: $headers" ;;
esac
ask "$base/devices/new"
get_token
post /devices/new -d "line=1 flash: low" -d "title=By TLS"
case $status in
403) not_ok "a form over TLS is taken: $page" ;;
*) ok ;;
esac
ask -H "Origin: http://127.0.0.1:$port" --data-urlencode "token=$token" "$base/devices/new"
same "a form from a page without TLS is not" 403 "$status"
ask --resolve "workshop.test:$port:127.0.0.1" "https://workshop.test:$port/about"
same "a name of the certificate" 200 "$status"
ask -k -H "Host: WORKSHOP.test:$port" "$base/about"
same "it counts however it is written" 200 "$status"
for name in "workshop.test" "workshop.test.:$port" "a.workshop.test:$port" "workshop.test:${port}0" \
	"common.test:$port" "a.bench.test:$port" "*.bench.test:$port" "bench.test:$port" "203.0.113.5:$port"; do
	ask -k -H "Host: $name" "$base/about"
	same "$name is not its name" 403 "$status"
done
: >"$SCRATCH/page"
status=$(curl -s --max-time 10 -o "$SCRATCH/page" -w '%{http_code}' "http://127.0.0.1:$port/") || true
case $status in
000 | 400) ok ;;
*) not_ok "without TLS it says nothing of the book: $status" ;;
esac
lacks "not even the name" "Lampwright" "$(cat "$SCRATCH/page")"
for version in TLSv1 TLSv1.1; do
	has "$version is refused" "no: " "$(node "$SRC/tests/web/certificate.mjs" speaks "$port" "$version")"
done
for version in TLSv1.2 TLSv1.3; do
	same "$version is spoken" "$version" "$(node "$SRC/tests/web/certificate.mjs" speaks "$port" "$version")"
done
stop_server

# --- for the network -----------------------------------------------------------

serve_with="--lan $as_root --tls-cert $certs/good.pem --tls-key $certs/old.key"
start_server
has "the code" "Pairing code: " "$(said)"
lacks "no warning that there is no TLS" "There is no TLS" "$(said)"
lacks "no address without TLS" "http://" "$(said)"
ask "$base/about"
same "who is not paired is asked for the code" 303 "$status"
if grep -q "no address in a network" "$SCRATCH/serve.out"; then
	ok
else
	# The certificate is not for the machine's address there, so that a name
	# of it is the better address.
	has "a name is the first address" "In this network it is at: https://workshop.test:$port/ " "$(said)"
	lacks "a phone that asks localhost asks itself" "https://localhost" "$(said)"
	lacks "a pattern is no address" "bench.test" "$(said)"
fi
stop_server

# --- odd, and still used ---------------------------------------------------------

chmod 644 "$certs/good.key"
serve_with="--tls-cert $certs/over.pem --tls-key $certs/good.key"
start_server
has "a key for all to read is said" "can read the key $certs/good.key; chmod 600 mends it." "$(said)"
has "a certificate that is over is said" "The certificate $certs/over.pem is over since 2" "$(said)"
ask -k "$base/"
same "and it serves" 200 "$status"
stop_server
chmod 600 "$certs/good.key"
serve_with="--tls-cert $certs/later.pem --tls-key $certs/good.key"
start_server
has "a certificate that is not valid yet is said" "The certificate $certs/later.pem is valid only from 2" "$(said)"
lacks "the key is its owner's alone" "chmod" "$(said)"
stop_server
finish
