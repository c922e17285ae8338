/* Stand-ins while the parts are being written; not to be kept. */
#include "job/bands.h"
#include "meter/accuracy.h"
#include "meter/expr.h"
#include "meter/verdict.h"
#include "book/facts.h"
#include <lampwright/quantity.h>
#include <lampwright/reading.h>
#include <string.h>
#define WEAK __attribute__((weak))
const struct lw_rig_value *lw_rig_value(const struct lw_rig *r, const char *k) WEAK;
const struct lw_rig_value *lw_rig_value(const struct lw_rig *r, const char *k){(void)r;(void)k;return NULL;}
enum lw_status lw_rig_of(struct lw_book *b, struct lw_arena *a,const struct lw_rig_pair *p, size_t c, const struct lw_rig **o,struct lw_err *e) WEAK;
enum lw_status lw_rig_of(struct lw_book *b, struct lw_arena *a,const struct lw_rig_pair *p, size_t c, const struct lw_rig **o,struct lw_err *e){(void)b;(void)a;(void)p;(void)c;(void)e;*o=NULL;return LW_OK;}
enum lw_status accuracy_parse(struct accuracy *a, const char *t, struct lw_err *e) WEAK;
enum lw_status accuracy_parse(struct accuracy *a, const char *t, struct lw_err *e){(void)a;(void)t;(void)e;return LW_BAD_INPUT;}
double accuracy_expanded(const struct accuracy *a, double r, double s) WEAK;
double accuracy_expanded(const struct accuracy *a, double r, double s){(void)a;(void)r;(void)s;return 0;}
void verdict_judge(struct verdict *v, const struct verdict_band *b,size_t n, double r, double x) WEAK;
void verdict_judge(struct verdict *v, const struct verdict_band *b,size_t n, double r, double x){size_t i;(void)x;memset(v,0,sizeof *v);for(i=0;i<n;i++)if(!b[i].from.there||r>=b[i].from.low)v->band=i;}
enum lw_status expr_parse(const struct expr **x, struct lw_arena *a,const char *t, const struct expr_names *n, struct lw_err *e) WEAK;
enum lw_status expr_parse(const struct expr **x, struct lw_arena *a,const char *t, const struct expr_names *n, struct lw_err *e){(void)x;(void)a;(void)t;(void)n;if(e)memset(e,0,sizeof *e);return LW_BAD_INPUT;}
size_t expr_name_count(const struct expr *x) WEAK;
size_t expr_name_count(const struct expr *x){(void)x;return 0;}
const char *expr_name_at(const struct expr *x,size_t i) WEAK;
const char *expr_name_at(const struct expr *x,size_t i){(void)x;(void)i;return "";}
enum lw_status expr_range(struct expr_range *r, const struct expr *x,const struct expr_value *v, struct lw_err *e) WEAK;
enum lw_status expr_range(struct expr_range *r, const struct expr *x,const struct expr_value *v, struct lw_err *e){(void)r;(void)x;(void)v;(void)e;return LW_BAD_INPUT;}
double lw_quantity_in(double v,const char *u) WEAK;
double lw_quantity_in(double v,const char *u){(void)u;return v;}
enum lw_status lw_unit_dimension(struct lw_dimension *d,const char *u,struct lw_err *e) WEAK;
enum lw_status lw_unit_dimension(struct lw_dimension *d,const char *u,struct lw_err *e){(void)d;(void)u;(void)e;return LW_BAD_INPUT;}
enum lw_status lw_reading_read(struct lw_reading *r, const char *t,const char *u, struct lw_err *e) WEAK;
enum lw_status lw_reading_read(struct lw_reading *r, const char *t,const char *u, struct lw_err *e){r->step=0;return lw_reading_parse(&r->value,t,u,e);}
