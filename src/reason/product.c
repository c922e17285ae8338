/* Products of many probabilities; what they mean is left to belief and
 * conflict. Method: Dekker's exact product, by fma. */
#include "reason/product.h"

#include <math.h>

/* Beyond this ldexp gives 0 or infinity anyway. */
enum { SCALE_MOST = 4000 };

double
product_likelihood(double likelihood)
{
	if (!(likelihood > 0))
		return 0;
	return likelihood < 1 ? likelihood : 1;
}

double
product_weight(double weight)
{
	return isfinite(weight) && weight > 0 ? weight : 0;
}

struct product
product_of(double factor)
{
	struct product product = {0};
	int exponent;

	product.high = frexp(factor, &exponent);
	product.exponent = exponent;
	return product;
}

void
product_times(struct product *product, double factor)
{
	double mantissa, whole, rest;
	int exponent;

	mantissa = frexp(factor, &exponent);
	product->exponent += exponent;
	whole = product->high * mantissa;
	rest = fma(product->high, mantissa, -whole) + product->low * mantissa;
	product->high = whole + rest;
	product->low = rest - (product->high - whole);
	product->high = frexp(product->high, &exponent);
	product->low = ldexp(product->low, -exponent);
	product->exponent += exponent;
}

struct product
product_over(const struct product *product, double divisor)
{
	struct product over = {0};
	int exponent;

	over.high = frexp(product->high / divisor, &exponent);
	over.exponent = product->exponent + exponent;
	return over;
}

struct product
product_column(double weight, const double *likelihood, size_t stride,
    size_t findings, size_t skip)
{
	struct product product = product_of(product_weight(weight));
	size_t k;

	for (k = 0; k < findings && product.high > 0; k++)
		if (k != skip)
			product_times(&product,
			    product_likelihood(likelihood[k * stride]));
	return product;
}

double
product_scaled(const struct product *product, int64_t exponent)
{
	int64_t shift = product->exponent - exponent;

	if (shift > SCALE_MOST)
		shift = SCALE_MOST;
	if (shift < -SCALE_MOST)
		shift = -SCALE_MOST;
	return ldexp(product->high, (int)shift);
}

double
product_log2(const struct product *product)
{
	return product->high > 0
		   ? log2(product->high) + (double)product->exponent
		   : -INFINITY;
}
