using System.Diagnostics;
using Silk.NET.OpenGL;
using StageView.Render.Contexts;
using StageView.Render.Settings;

namespace StageView.Benchmarks;

/// <summary>Time each pass takes on what draws (GL_TIME_ELAPSED), and what its preparation takes on the processor.</summary>
internal sealed class PassTimer(GlContext context) : IFrameWatch, IDisposable
{
    private readonly List<(string Pass, uint Query)> _running = [];
    private readonly Stack<uint> _free = new();
    private readonly List<(string Step, double Milliseconds)> _steps = [];
    private GL? _gl;
    private long _since;
    private bool _open;

    public void Start(GL gl)
    {
        _gl = gl;
        _since = Stopwatch.GetTimestamp();
    }

    public void Begin(string pass, bool mirrored = false)
    {
        End();
        var query = _free.Count > 0 ? _free.Pop() : _gl!.GenQuery();
        _gl!.BeginQuery(QueryTarget.TimeElapsed, query);
        _running.Add(((mirrored ? "mirrored " : "") + pass, query));
        _open = true;
    }

    public void End()
    {
        if (_open)
        {
            _gl!.EndQuery(QueryTarget.TimeElapsed);
            _open = false;
        }
    }

    public void Step(string step)
    {
        _steps.Add((step, Stopwatch.GetElapsedTime(_since).TotalMilliseconds));
        _since = Stopwatch.GetTimestamp();
    }

    /// <summary>The steps since the last call, in their order.</summary>
    public IReadOnlyList<(string Step, double Milliseconds)> Steps()
    {
        var steps = _steps.ToArray();
        _steps.Clear();
        return steps;
    }

    /// <summary>After a frame: waits for all and hands out milliseconds, added up by name in order of first use.</summary>
    public IReadOnlyList<(string Pass, double Milliseconds)> Passes()
    {
        context.Enter();
        var sums = new List<(string Pass, double Milliseconds)>();
        foreach (var (pass, query) in _running)
        {
            _gl!.GetQueryObject(query, QueryObjectParameterName.Result, out ulong nanoseconds);
            _free.Push(query);
            var at = sums.FindIndex(s => s.Pass == pass);
            if (at < 0)
            {
                sums.Add((pass, nanoseconds * 1e-6));
            }
            else
            {
                sums[at] = (pass, sums[at].Milliseconds + (nanoseconds * 1e-6));
            }
        }

        _running.Clear();
        context.Leave();
        return sums;
    }

    public void Dispose()
    {
        context.Enter();
        foreach (var query in _free.Concat(_running.Select(r => r.Query)))
        {
            _gl!.DeleteQuery(query);
        }

        context.Leave();
    }
}
