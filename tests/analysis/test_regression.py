"""The closed-form regression against other ways to the same figures."""

import numpy as np
import pytest
from scipy import stats

from dossier.analysis.priors import STARTING, covariance, joint
from dossier.analysis.ranges import Column
from dossier.analysis.regression import Prior, regress, solved, stacked


def rows(count: int = 12, width: int = 3) -> tuple[Column, Column]:
    dice = np.random.default_rng(4)
    design = dice.normal(size=(count, width))
    return design, design @ np.arange(1.0, width + 1.0) + dice.normal(size=count)


def some_prior(width: int = 3) -> Prior:
    return Prior(
        mean=np.full(width, 0.5), root=np.triu(np.full((width, width), 0.4)), shape=3.0, rate=2.0
    )


def test_without_a_prior_it_is_least_squares() -> None:
    design, response = rows()
    found = regress(design, response)
    expected, rest, *_ = np.linalg.lstsq(design, response)
    np.testing.assert_allclose(found.mean, expected, rtol=1e-12)
    assert found.rate / found.shape == pytest.approx(rest[0] / 9.0, rel=1e-12)
    assert np.isnan(found.log_evidence)


def test_with_a_prior_it_is_the_textbook_update() -> None:
    # Source: the conjugate update by normal equations (from memory), the way not taken here
    design, response = rows()
    prior = some_prior()
    found = regress(design, response, prior)
    before = prior.root.T @ prior.root
    after = before + design.T @ design
    mean = np.linalg.solve(after, before @ prior.mean + design.T @ response)
    rate = prior.rate + 0.5 * (
        response @ response + prior.mean @ before @ prior.mean - mean @ after @ mean
    )
    np.testing.assert_allclose(found.mean, mean, rtol=1e-10)
    np.testing.assert_allclose(found.root.T @ found.root, after, rtol=1e-10)
    assert found.rate == pytest.approx(rate, rel=1e-10)
    assert found.shape == prior.shape + 6.0
    assert found.variance == pytest.approx(rate / 8.0, rel=1e-10)


def test_the_evidence_is_the_product_of_what_each_row_was_predicted_to_be() -> None:
    # Source: the chain rule, with scipy's t for each prediction
    design, response = rows()
    prior = some_prior()
    whole = regress(design, response, prior).log_evidence
    chain = 0.0
    for row in range(len(response)):
        known = regress(design[:row], response[:row], prior)
        back = np.linalg.solve(known.root.T, design[row])
        scale = np.sqrt(known.rate / known.shape * (1.0 + back @ back))
        chain += stats.t.logpdf(
            response[row], 2.0 * known.shape, loc=design[row] @ known.mean, scale=scale
        )
    assert whole == pytest.approx(chain, rel=1e-10)


def test_a_batch_is_each_of_its_designs() -> None:
    design, response = rows()
    prior = some_prior()
    batch = regress(np.stack([design, 2.0 * design]), np.stack([response, response]), prior)
    for place, factor in enumerate((1.0, 2.0)):
        single = regress(factor * design, response, prior)
        np.testing.assert_allclose(batch.mean[place], single.mean, rtol=1e-12)
        np.testing.assert_allclose(batch.rate[place], single.rate, rtol=1e-12)
        np.testing.assert_allclose(batch.log_evidence[place], single.log_evidence, rtol=1e-12)


def test_rows_of_zeros_tell_nothing() -> None:
    design, response = rows()
    prior = some_prior()
    whole = stacked(design, response, prior)
    whole[8:] = 0.0
    found = solved(whole, prior, np.array(5.0))
    expected = regress(design[:5], response[:5], prior)
    np.testing.assert_allclose(found.mean, expected.mean, rtol=1e-12)
    assert found.log_evidence == pytest.approx(float(expected.log_evidence), rel=1e-12)


def test_units_cost_no_digits() -> None:
    design, response = rows(30)
    scale = np.array([1e-9, 1.0, 1e9])
    plain, scaled = regress(design, response), regress(design * scale, response)
    np.testing.assert_allclose(scaled.mean * scale, plain.mean, rtol=1e-12)


def test_too_few_rows_are_refused() -> None:
    design, response = rows(2)
    with pytest.raises(ValueError, match=r"^2 rows are fewer than 3 coefficients$"):
        regress(design, response)


def test_columns_that_say_the_same_are_refused() -> None:
    design, response = rows()
    design[:, 2] = 3.0 * design[:, 0]
    with pytest.raises(ValueError, match=r"^the columns of the design depend on each other$"):
        regress(design, response)


def test_the_starting_values_are_those_of_the_table() -> None:
    # Source: technicians' records and trade lists, as STARTING names them
    assert [row.mean for row in STARTING.rows] == [4.5, -2.0, 0.20]
    spread = np.sqrt(np.diag(covariance(STARTING)))
    np.testing.assert_allclose(spread[[0, 3, 6]], [2.2, 1.7, 0.11], atol=0.02)
    assert all(row.origin for row in STARTING.rows)


def test_the_joint_prior_has_the_spreads_of_the_table_at_the_usual_error() -> None:
    prior = joint(STARTING)
    whole = np.linalg.inv(prior.root.T @ prior.root) * STARTING.error**2
    np.testing.assert_allclose(whole, covariance(STARTING), rtol=1e-9, atol=1e-12)
    assert prior.rate / (prior.shape - 1.0) == STARTING.error**2
    # What one register shows tells of the others, but not all.
    assert 0.5 < whole[0, 1] / whole[0, 0] < 1.0
