/* The blocks that templates may call, by subject. Each adds its part to the end of the document. */
#ifndef DOC_BLOCK_H
#define DOC_BLOCK_H

#include "doc/builder.h"

/* block_cover.c */
void block_cover(struct builder *b);
void block_contents(struct builder *b);
void block_document_control(struct builder *b);
void block_cautions(struct builder *b);
void block_signature(struct builder *b);
void block_open_points(struct builder *b);
void block_record_appendix(struct builder *b);

/* block_gate.c */
void block_description(struct builder *b);
void block_upkeep(struct builder *b);
void block_papers(struct builder *b);
void block_photographs(struct builder *b);
/* Pictures of the photographs that this zone is the first to cite; for the others a line that says where
 * they stand. */
void photographs_of_zone(struct builder *b, const struct zone_result *z);

/* block_law.c */
void block_regime(struct builder *b);
void block_standards(struct builder *b);
void block_choices_and_readings(struct builder *b);
void block_requirements_matrix(struct builder *b);
void block_evidence_matrix(struct builder *b);
/* Limits that stand on memory or were loosened, one line each; nothing when there is none. */
void limits_named(struct builder *b);
/* The standards of the job that are cited under the regime on the day of first use, or those that are
 * not, as "EN 12453:2017+A1:2021, …"; the label "none" without any. */
const char *standards_listed(const struct builder *b, bool cited);

/* block_zones.c */
void block_zone_index(struct builder *b);
void block_risk_assessment(struct builder *b);
void block_measures(struct builder *b);
void block_residual_risks(struct builder *b);
void block_gaps_and_reach(struct builder *b);

/* block_control.c */
void block_functions(struct builder *b);
void block_inputs(struct builder *b);
void block_checks(struct builder *b);

/* block_force.c */
void block_force_plan(struct builder *b);
void block_force_plots(struct builder *b);
void block_force_table(struct builder *b);
void block_instrument(struct builder *b);

/* plan.c */
void block_drawing_plan(struct builder *b);
void block_drawing_elevation(struct builder *b);
/* NULL when there is nothing to draw, or it fits no scale; `*left_out`: bodies whose dimensions are
 * not all on record. */
struct drawing *plan_drawing(struct builder *b, bool elevation, int *denominator, size_t *left_out);
const char *plan_caption(struct builder *b, bool elevation, int denominator);

/* block_clearance.c */
/* NULL for a pair that never comes near. */
struct drawing *chart_drawing(struct builder *b, const struct clearance_result *r);
/* A chart of each clearance that is dealt with in the zone, two in a row. */
void charts_of_zone(struct builder *b, const struct zone_result *z);
/* Every clearance that can hurt, as a table. */
void block_clearances(struct builder *b);

/* declaration.c */
void block_declaration_items(struct builder *b);
void block_declaration_copy(struct builder *b);

#endif
