-- The figures of the days from :a to :b, as one JSON object; amounts in minor units, shares in tenths of a percent,
-- days in tenths. Written from the definitions in `stowmark takings --help`, with nothing of the program's own.
WITH spell (item, asking, start, stop) AS (
    -- The times on the shelves: until a sale, and since the last one came back.
    SELECT sale.item, item.asking,
        min(sale.day, max(sale.listed, coalesce(lag(sale.returned) OVER sales, sale.listed))), sale.day
    FROM sale JOIN item ON item.id = sale.item
    WHERE item.state <> 'undone' AND sale.listed IS NOT NULL
    WINDOW sales AS (PARTITION BY sale.item ORDER BY sale.id)
    UNION ALL
    SELECT id, asking,
        max(listed, coalesce((SELECT max(returned) FROM sale WHERE sale.item = item.id), listed)), gone
    FROM item WHERE listed IS NOT NULL AND state <> 'undone'
),
sold AS (
    SELECT sale.*, item.cost, price IS NOT NULL AND cost IS NOT NULL AS known,
        julianday(sale.day) - julianday(sale.listed) AS days
    FROM sale JOIN item ON item.id = sale.item
),
here AS (SELECT * FROM sold WHERE day BETWEEN :a AND :b),
back AS (SELECT * FROM sold WHERE returned BETWEEN :a AND :b),
paid AS (SELECT refund.*, known FROM refund JOIN sold ON sold.id = refund.sale WHERE refund.day BETWEEN :a AND :b),
came AS (SELECT * FROM item WHERE coalesce(bought, entered) BETWEEN :a AND :b AND state <> 'undone'),
lost AS (SELECT * FROM item WHERE gone BETWEEN :a AND :b),
fresh AS (SELECT * FROM spell WHERE start BETWEEN :a AND :b),
shelf AS (SELECT * FROM spell WHERE start <= :b AND (stop IS NULL OR stop > :b)),
before AS (SELECT * FROM spell WHERE start < :a AND (stop IS NULL OR stop >= :a)),
spent AS (SELECT coalesce(sum(amount), 0) AS amount FROM expense WHERE day BETWEEN :a AND :b),
earned (profit, net) AS (
    SELECT coalesce((SELECT sum(price - fees - postage - cost) FROM here WHERE known), 0)
            - coalesce((SELECT sum(amount + postage) FROM paid WHERE known), 0)
            + coalesce((SELECT sum(cost) FROM back WHERE known), 0) - spent.amount,
        coalesce((SELECT sum(price) FROM here WHERE known), 0)
            - coalesce((SELECT sum(amount) FROM paid WHERE known), 0)
    FROM spent
),
offered (part, whole) AS (
    SELECT (SELECT count(*) FROM here WHERE listed IS NOT NULL),
        (SELECT count(*) FROM before) + (SELECT count(*) FROM fresh)
),
unsold AS (
    SELECT *, julianday(:b) - julianday(coalesce(bought, entered)) AS age FROM item
    WHERE coalesce(bought, entered) <= :b AND state <> 'undone' AND (gone IS NULL OR gone > :b)
        AND id NOT IN (SELECT item FROM sale WHERE day <= :b AND (returned IS NULL OR returned > :b))
),
bucket (low, high) AS (VALUES (0, 30), (31, 91), (92, 182), (183, 365), (366, 999999)),
ranked AS (
    SELECT days, row_number() OVER (ORDER BY days) AS place, count(*) OVER () AS of FROM here WHERE days IS NOT NULL
)
SELECT json_object(
    'bought', (SELECT count(*) FROM came),
    'bought_cost', (SELECT coalesce(sum(cost), 0) FROM came),
    'bought_cost_unknown', (SELECT count(*) - count(cost) FROM came),
    'listed', (SELECT count(*) FROM fresh),
    'listed_value', (SELECT coalesce(sum(asking), 0) FROM fresh),
    'listed_value_unknown', (SELECT count(*) - count(asking) FROM fresh),
    'shelves', (SELECT count(*) FROM shelf),
    'shelves_value', (SELECT coalesce(sum(asking), 0) FROM shelf),
    'shelves_value_unknown', (SELECT count(*) - count(asking) FROM shelf),
    'sold', (SELECT count(*) FROM here),
    'revenue', (SELECT coalesce(sum(price), 0) FROM here),
    'revenue_unknown', (SELECT count(*) - count(price) FROM here),
    'fees', (SELECT coalesce(sum(fees), 0) FROM here),
    'postage', (SELECT coalesce(sum(postage), 0) FROM here),
    'sold_cost', (SELECT coalesce(sum(cost), 0) FROM here),
    'sold_cost_unknown', (SELECT count(*) - count(cost) FROM here),
    'refunds', (SELECT coalesce(sum(amount), 0) FROM paid),
    'return_postage', (SELECT coalesce(sum(postage), 0) FROM paid),
    'returned', (SELECT count(*) FROM back),
    'returned_cost', (SELECT coalesce(sum(cost), 0) FROM back),
    'returned_cost_unknown', (SELECT count(*) - count(cost) FROM back),
    'gone', (SELECT count(*) FROM lost),
    'gone_cost', (SELECT coalesce(sum(cost), 0) FROM lost),
    'gone_cost_unknown', (SELECT count(*) - count(cost) FROM lost),
    'expenses', (SELECT amount FROM spent),
    'profit', (SELECT profit FROM earned),
    'profit_unknown', (SELECT count(*) FROM here WHERE NOT known),
    -- To the nearest tenth in whole numbers, halves away from zero.
    'margin_percent', (SELECT iif(net > 0, sign(profit) * ((2000 * abs(profit) + net) / (2 * net)), NULL) FROM earned),
    'sell_through_percent', (SELECT iif(whole > 0, (2000 * part + whole) / (2 * whole), NULL) FROM offered),
    'days_to_sell', (SELECT cast(10 * avg(days) AS INTEGER) FROM ranked WHERE place IN ((of + 1) / 2, (of + 2) / 2)),
    'ages', (
        SELECT json_group_array(json_array(low,
            (SELECT count(*) FROM unsold WHERE age BETWEEN low AND high),
            (SELECT coalesce(sum(cost), 0) FROM unsold WHERE age BETWEEN low AND high),
            (SELECT coalesce(sum(asking), 0) FROM unsold WHERE age BETWEEN low AND high)))
        FROM bucket
    )
);
