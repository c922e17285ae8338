/* Stand-ins while the parts are being written; not to be kept. */
#include "base/num.h"
#include "meter/accuracy.h"
#include "meter/expr.h"
#include "meter/unit.h"
#include <lampwright/quantity.h>
#include <lampwright/reading.h>
#include <stdio.h>
#include <string.h>
#define WEAK __attribute__((weak))
enum lw_status lw_quantity_parse(struct lw_quantity *q, const char *t, const char *u, struct lw_err *e) WEAK;
enum lw_status lw_quantity_parse(struct lw_quantity *q, const char *t, const char *u, struct lw_err *e){enum lw_status s;memset(q,0,sizeof *q);s=lw_reading_parse(&q->number,t,u,e);q->value=q->low=q->high=q->number;q->unit=u;return s;}
enum lw_status lw_quantity_parse_plausible(struct lw_quantity *q, const char *t, const char *u, double l, double h, bool sure, struct lw_err *e) WEAK;
enum lw_status lw_quantity_parse_plausible(struct lw_quantity *q, const char *t, const char *u, double l, double h, bool sure, struct lw_err *e){(void)l;(void)h;(void)sure;return lw_quantity_parse(q,t,u,e);}
void lw_quantity_format(char *t, const struct lw_quantity *q) WEAK;
void lw_quantity_format(char *t, const struct lw_quantity *q){lw_reading_format(t,q->number,q->unit);}
void lw_quantity_say(char *t, double v, const char *u, int d) WEAK;
void lw_quantity_say(char *t, double v, const char *u, int d){(void)d;lw_reading_format(t,v,u);}
double lw_quantity_from(double v,const char *u) WEAK;
double lw_quantity_from(double v,const char *u){(void)u;return v;}
bool lw_dimension_equal(struct lw_dimension a,struct lw_dimension b) WEAK;
bool lw_dimension_equal(struct lw_dimension a,struct lw_dimension b){(void)a;(void)b;return false;}
struct lw_dimension expr_dimension(const struct expr *x) WEAK;
struct lw_dimension expr_dimension(const struct expr *x){struct lw_dimension d={0,0,0,0,0};(void)x;return d;}
enum lw_status expr_number(double *r, const struct expr *x,const struct expr_value *v, struct lw_err *e) WEAK;
enum lw_status expr_number(double *r, const struct expr *x,const struct expr_value *v, struct lw_err *e){(void)r;(void)x;(void)v;(void)e;return LW_BAD_INPUT;}
void expr_say(char *t, size_t n, const struct expr *x,const char *const *s) WEAK;
void expr_say(char *t, size_t n, const struct expr *x,const char *const *s){(void)x;(void)s;snprintf(t,n,"?");}
void accuracy_format(char *t,const struct accuracy *a) WEAK;
void accuracy_format(char *t,const struct accuracy *a){snprintf(t,64,"%g %% + %g counts",a->percent,a->counts);}
void lw_dimension_say(char *t, struct lw_dimension d) WEAK;
void lw_dimension_say(char *t, struct lw_dimension d){(void)d;strcpy(t,"?");}
