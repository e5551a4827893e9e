"""What drives life: regression of seal and bearing lives on covariates."""

from analytics.life.drivers.regression import LifeDriver, LifeDrivers, life_drivers

__all__ = ["LifeDriver", "LifeDrivers", "life_drivers"]
