-- Requests for wrk. After "--": the kind of bodies, and a number that starts their sequence.
--   other  every request another job: another size and another coverage
--   same   one piece, every request at six other quantities
-- The same kind and number give the same bodies, whatever they are sent to.

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

local make

function init(arguments)
    make = arguments[1] == "other" and other_job or other_quantities
    math.randomseed(tonumber(arguments[2]) * 100 + thread_number)
end

function request()
    return wrk.format("POST", nil, headers, make())
end

function done(summary, latency)
    local errors = summary.errors
    local failed = errors.connect + errors.read + errors.write + errors.status + errors.timeout
    io.write(string.format(
        "RESULT %d %d %.3f %d %d\n",
        summary.requests, failed, summary.duration / 1e6, latency:percentile(50), latency.max
    ))
end
