/* Expressions made at random. The values are plain arithmetic on doubles, with
 * a first-order bound of what rounding can do beside them. */
#include "unit/formula.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/*
 * n a number, v a name, + - * /, m min, M max, a abs, e exp, l ln, s sqrt,
 * 2 square, 3 cube, r the power 1.5, i if(of[0] < of[1], of[2], of[3])
 */
static const char *const forms[128] = {
    ['+'] = "(%s + %s)",
    ['-'] = "(%s - %s)",
    ['*'] = "(%s * %s)",
    ['/'] = "(%s / %s)",
    ['m'] = "min(%s, %s)",
    ['M'] = "max(%s, %s)",
    ['a'] = "abs(%s)",
    ['e'] = "exp(%s)",
    ['l'] = "ln(%s)",
    ['s'] = "sqrt(%s)",
    ['2'] = "(%s)^2",
    ['3'] = "(%s)^3",
    ['r'] = "(%s)^1.5",
    ['i'] = "if(%s < %s, %s, %s)",
};

static double
random_share(uint64_t *seed)
{
	*seed ^= *seed << 13;
	*seed ^= *seed >> 7;
	*seed ^= *seed << 17;
	return (double)(*seed >> 11) / 9007199254740992.0;
}

static int
random_below(int n, uint64_t *seed)
{
	return (int)(random_share(seed) * n);
}

bool
formula_rises(int name)
{
	return name % 2 == 0;
}

/* --- making --------------------------------------------------------------- */

static int
add(struct formula *formula, char op, int a, int b)
{
	struct formula_node *node = &formula->nodes[formula->count];

	memset(node, 0, sizeof *node);
	node->op = op;
	node->of[0] = a;
	node->of[1] = b;
	return formula->count++;
}

static int
add_number(struct formula *formula, double number)
{
	int node = add(formula, 'n', 0, 0);

	formula->nodes[node].number = number;
	return node;
}

static int
add_name(struct formula *formula, int name)
{
	int node = add(formula, 'v', 0, 0);

	formula->nodes[node].name = name;
	return node;
}

static double
random_number(uint64_t *seed)
{
	return (1 + random_below(400, seed)) / 64.0;
}

static int
any(struct formula *formula, int depth, uint64_t *seed)
{
	static const char ops[] = "++--**//mMaels23i";
	char op = ops[random_below((int)sizeof ops - 1, seed)];
	bool guarded = random_below(4, seed) != 0;
	int a, b, then, otherwise;

	if (depth == 0 || formula->count > FORMULA_NODES - 24) {
		if (random_below(3, seed) == 0)
			return add_number(formula, random_number(seed));
		return add_name(formula, random_below(FORMULA_NAMES, seed));
	}
	a = any(formula, depth - 1, seed);
	if (strchr("/ls", op) != NULL && guarded && op != '/')
		a = add(formula, '+', add_number(formula, 0.25),
		    add(formula, 'a', a, 0));
	if (op == 'e')
		a = add(formula, 'm', a, add_number(formula, 3));
	if (strchr("aels23", op) != NULL)
		return add(formula, op, a, 0);
	b = any(formula, depth - 1, seed);
	if (op == '/' && guarded)
		b = add(formula, '+', add_number(formula, 0.25),
		    add(formula, 'a', b, 0));
	if (op != 'i')
		return add(formula, op, a, b);
	then = any(formula, depth > 1 ? 1 : 0, seed);
	otherwise = any(formula, depth > 1 ? 1 : 0, seed);
	a = add(formula, op, a, b);
	formula->nodes[a].of[2] = then;
	formula->nodes[a].of[3] = otherwise;
	return a;
}

void
formula_any(struct formula *formula, uint64_t *seed)
{
	formula->count = 0;
	any(formula, 1 + random_below(4, seed), seed);
}

static int
rising(struct formula *formula, int depth, bool up, uint64_t *seed)
{
	static const char ops[] = "+++***///mMls23r";
	char op = ops[random_below((int)sizeof ops - 1, seed)];
	int a;

	if (depth == 0) {
		if (random_below(4, seed) == 0)
			return add_number(formula, random_number(seed));
		return add_name(formula,
		    2 * random_below(FORMULA_NAMES / 2, seed) + (up ? 0 : 1));
	}
	a = rising(formula, depth - 1, up, seed);
	if (op == 'l')
		a = add(formula, '+', a, add_number(formula, 1));
	if (strchr("ls23r", op) != NULL)
		return add(formula, op, a, 0);
	return add(formula, op, a,
	    rising(formula, depth - 1, op == '/' ? !up : up, seed));
}

void
formula_rising(struct formula *formula, uint64_t *seed)
{
	formula->count = 0;
	rising(formula, 1 + random_below(4, seed), true, seed);
}

void
formula_box(double *low, double *high, bool positive, uint64_t *seed)
{
	double at, width;
	int i, kind;

	for (i = 0; i < FORMULA_NAMES; i++) {
		at = random_share(seed) * 6 + (positive ? 0.5 : -2);
		kind = random_below(10, seed);
		width = kind == 0  ? 0
			: kind < 6 ? fabs(at) * 0.05
				   : random_share(seed) * 2;
		low[i] = positive ? at : at - width;
		high[i] = at + width;
	}
}

double
formula_between(double low, double high, bool inside, uint64_t *seed)
{
	double share = random_share(seed), at;

	if (!inside)
		return share < 0.5 ? low : high;
	at = low + share * (high - low);
	return at > high ? high : at;
}

/* --- saying ----------------------------------------------------------------
 */

static void
say(char *text, size_t size, const struct formula *formula, int at)
{
	const struct formula_node *node = &formula->nodes[at];
	const char *form = forms[(int)node->op];
	size_t used = 0, next = 0;
	char number[32];

	if (node->op == 'v' || node->op == 'n') {
		snprintf(number, sizeof number,
		    node->op == 'v' ? "v%.0f" : "%.10g",
		    node->op == 'v' ? node->name : node->number);
		snprintf(text, size, "%s", number);
		return;
	}
	for (; *form != '\0' && used + 1 < size; form++) {
		if (*form != '%') {
			text[used++] = *form;
			text[used] = '\0';
			continue;
		}
		say(text + used, size - used, formula, node->of[next++]);
		used += strlen(text + used);
		form++;
	}
}

void
formula_text(char *text, const struct formula *formula)
{
	say(text, FORMULA_TEXT_MAX, formula, formula->count - 1);
}

/* --- working out ------------------------------------------------------------
 */

static bool
work_out(double *values, double *scales, const struct formula *formula, int at)
{
	const struct formula_node *node = &formula->nodes[at];
	double a = values[node->of[0]], b = values[node->of[1]];
	double sa = scales[node->of[0]], sb = scales[node->of[1]], v, s;
	int branch;

	switch (node->op) {
	case '+':
		v = a + b;
		s = sa + sb;
		break;
	case '-':
		v = a - b;
		s = sa + sb;
		break;
	case '*':
		v = a * b;
		s = sa * fabs(b) + sb * fabs(a);
		break;
	case '/':
		if (fabs(b) <= 1e-9 * sb)
			return false;
		v = a / b;
		s = (sa + fabs(v) * sb) / fabs(b);
		break;
	case 'm':
		v = a < b ? a : b;
		s = fmax(sa, sb);
		break;
	case 'M':
		v = a > b ? a : b;
		s = fmax(sa, sb);
		break;
	case 'a':
		v = fabs(a);
		s = sa;
		break;
	case 'e':
		v = exp(a);
		s = v * (1 + sa);
		break;
	case 'l':
		if (a <= 1e-9 * sa)
			return false;
		v = log(a);
		s = fabs(v) + sa / a;
		break;
	case 's':
		if (a < 0)
			return false;
		v = sqrt(a);
		s = v + fmin(sa / (2 * v), 1e4 * sqrt(sa));
		break;
	case '2':
		v = a * a;
		s = v + 2 * fabs(a) * sa;
		break;
	case '3':
		v = a * a * a;
		s = fabs(v) + 3 * a * a * sa;
		break;
	case 'r':
		v = a * sqrt(a);
		s = v + 1.5 * sqrt(a) * sa;
		break;
	default:
		if (fabs(a - b) <= 1e-12 * (sa + sb) && a != b)
			return false;
		branch = node->of[a < b ? 2 : 3];
		v = values[branch];
		s = scales[branch];
		break;
	}
	values[at] = v;
	scales[at] = s;
	return isfinite(v) && isfinite(s);
}

/* Branches that are not taken may be no numbers: those count only where they
 * are used, so each is worked out when it is asked for. */
static bool
work_out_all(double *values, double *scales, const struct formula *formula,
    const double *at, int root)
{
	const struct formula_node *node = &formula->nodes[root];
	int branch;

	if (node->op == 'n' || node->op == 'v') {
		values[root] = node->op == 'n' ? node->number : at[node->name];
		scales[root] = fabs(values[root]);
		return true;
	}
	if (!work_out_all(values, scales, formula, at, node->of[0]))
		return false;
	if (strchr("aels23r", node->op) == NULL &&
	    !work_out_all(values, scales, formula, at, node->of[1]))
		return false;
	if (node->op == 'i') {
		branch = values[node->of[0]] < values[node->of[1]] ? 2 : 3;
		if (!work_out_all(
			values, scales, formula, at, node->of[branch]))
			return false;
	}
	return work_out(values, scales, formula, root);
}

bool
formula_value(double *value, double *scale, const struct formula *formula,
    const double *at)
{
	double values[FORMULA_NODES] = {0}, scales[FORMULA_NODES] = {0};
	int root = formula->count - 1;

	if (!work_out_all(values, scales, formula, at, root))
		return false;
	*value = values[root];
	*scale = scales[root];
	return true;
}
