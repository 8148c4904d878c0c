-- Requests for wrk. After "--": their kind, and a number that starts their sequence.
-- Jobs, posted to the address that wrk was given:
--   other     every request another job: another size and another coverage
--   same      one piece, every request at six other quantities
--   label     what the kind price_of_label asks, as jobs
-- What a storefront asks:
--   fixed     the address that wrk was given, again and again
--   quantity  one product at another quantity each time
--   price_of_label  every request another job: labels of another size
-- The same kind and number give the same requests.

local threads = 0

function setup(thread)
    threads = threads + 1
    thread:set("thread_number", threads)
end

local headers = { ["Content-Type"] = "application/json" }

local JOB = '{"job":{"quantities":[%s],"parts":[{"size":{"width":%.2f,"height":%.2f},'
    .. '"stock":{"grade":"coated","finish":"silk","grammage_gsm":150},'
    .. '"front":{"inks":["cyan","magenta","yellow","black"],"coverage":%.4f},'
    .. '"back":{"inks":["cyan","magenta","yellow","black"],"coverage":%.4f}}]}}'
local SIX = "100,500,1000,2500,5000,20000"

local function other_job()
    local width, height = 100 + math.random() * 116, 150 + math.random() * 130
    local coverage = 0.1 + math.random() * 0.3
    return string.format(JOB, SIX, width, height, coverage, coverage)
end

local function other_quantities()
    local chosen = {}
    for number = 1, 6 do
        chosen[number] = math.random(50, 20000)
    end
    table.sort(chosen)
    return string.format(JOB, table.concat(chosen, ","), 215.9, 279.4, 0.2, 0.2)
end

local LABEL = '{"job":{"title":"Labels on reels","parts":[{"name":"label","kind":"label",'
    .. '"size":{"width":%d,"height":%d},"pieces_per_reel":1000,'
    .. '"stock":{"id":"label_semi_gloss"},'
    .. '"front":{"inks":["cyan","magenta","yellow","black"],"coverage":0.25}}],'
    .. '"quantities":[%d]},"plant":"demo","processes":["flexo","dod_inkjet"]}'
local PRICE_OF_LABEL = "/products/label/price?width_mm=%d&height_mm=%d&quantity=%d"
local PRICE_OF_FLYER = "/products/flyer/price?size=a6&quantity=%d"

local function label()
    return math.random(20, 150), math.random(20, 200), math.random(1000, 100000)
end

local function post(body)
    return wrk.format("POST", nil, headers, body)
end

local kinds = {
    other = function() return post(other_job()) end,
    same = function() return post(other_quantities()) end,
    label = function() return post(string.format(LABEL, label())) end,
    fixed = function() return wrk.format("GET") end,
    quantity = function()
        return wrk.format("GET", string.format(PRICE_OF_FLYER, math.random(50, 20000)))
    end,
    price_of_label = function()
        return wrk.format("GET", string.format(PRICE_OF_LABEL, label()))
    end,
}

local make

function init(arguments)
    make = kinds[arguments[1]]
    math.randomseed(tonumber(arguments[2]) * 100 + thread_number)
end

function request()
    return make()
end

function done(summary, latency)
    local errors = summary.errors
    local failed = errors.connect + errors.read + errors.write + errors.status + errors.timeout
    io.write(string.format(
        "RESULT %d %d %.3f %d %d\n",
        summary.requests, failed, summary.duration / 1e6, latency:percentile(50), latency.max
    ))
end
