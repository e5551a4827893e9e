"""Results to Plotly figures; knows no Django."""
