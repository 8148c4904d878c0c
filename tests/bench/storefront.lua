-- Requests of a storefront for wrk. After "--": the kind, and a number that starts their sequence.
--   fixed     the address that wrk was given, again and again
--   quantity  one product at another quantity each time
--   other     every request another job: labels of another size
--   validate  the same labels, sent to /validate

local threads = 0

function setup(thread)
    threads = threads + 1
    thread:set("thread_number", threads)
end

local LABEL = "/products/label/price?width_mm=%d&height_mm=%d&quantity=%d"
local JOB = '{"job":{"title":"Labels on reels","parts":[{"name":"label","kind":"label",'
    .. '"size":{"width":%d,"height":%d},"pieces_per_reel":1000,'
    .. '"stock":{"id":"label_semi_gloss"},'
    .. '"front":{"inks":["cyan","magenta","yellow","black"],"coverage":0.25}}],'
    .. '"quantities":[%d]},"plant":"demo","processes":["flexo","dod_inkjet"]}'
local headers = { ["Content-Type"] = "application/json" }

local function label()
    return math.random(20, 150), math.random(20, 200), math.random(1000, 100000)
end

local kinds = {
    fixed = function() return wrk.format("GET") end,
    quantity = function()
        return wrk.format("GET", "/products/flyer/price?size=a6&quantity=" .. math.random(50, 20000))
    end,
    other = function() return wrk.format("GET", string.format(LABEL, label())) end,
    validate = function()
        return wrk.format("POST", "/validate", headers, string.format(JOB, label()))
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
        "RESULT %d %d %.3f %d %d %d\n",
        summary.requests, failed, summary.duration / 1e6,
        latency:percentile(50), latency:percentile(99), latency.max
    ))
end
