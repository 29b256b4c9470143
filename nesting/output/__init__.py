"""What a plan is written as: report, drawings, files and paper."""
