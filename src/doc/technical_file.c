#include "doc/technical_file.h"

#include "doc/block.h"

static const struct block BLOCKS[] = {
	{"cover", block_cover},
	{"contents", block_contents},
	{"document-control", block_document_control},
	{"open-points", block_open_points},
	{"cautions", block_cautions},
	{"declaration-copy", block_declaration_copy},
	{"description", block_description},
	{"drawing-plan", block_drawing_plan},
	{"clearances", block_clearances},
	{"drawing-elevation", block_drawing_elevation},
	{"zone-index", block_zone_index},
	{"regime", block_regime},
	{"standards", block_standards},
	{"choices-and-readings", block_choices_and_readings},
	{"requirements-matrix", block_requirements_matrix},
	{"risk-assessment", block_risk_assessment},
	{"measures", block_measures},
	{"functions", block_functions},
	{"force-plan", block_force_plan},
	{"force-plots", block_force_plots},
	{"force-table", block_force_table},
	{"instrument", block_instrument},
	{"gaps-and-reach", block_gaps_and_reach},
	{"inputs", block_inputs},
	{"checks", block_checks},
	{"residual-risks", block_residual_risks},
	{"papers", block_papers},
	{"photographs", block_photographs},
	{"upkeep", block_upkeep},
	{"evidence-matrix", block_evidence_matrix},
	{"signature", block_signature},
	{"record-appendix", block_record_appendix},
};

struct document *technical_file_build(struct arena *a, const struct doc_input *input)
{
	struct builder *b = builder_new(a, input, "technical-file", BLOCKS, COUNT_OF(BLOCKS));
	builder_expand(b, "technical-file");
	return b->document;
}
