"""The fit report: its structs (`survey.report.structs`) and how it is made from a survey."""
