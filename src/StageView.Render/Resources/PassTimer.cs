using System.Diagnostics;
using Silk.NET.OpenGL;

namespace StageView.Render.Resources;

/// <summary>Time each pass takes on what draws (GL_TIME_ELAPSED), and what its preparation takes on the processor. Off, it does nothing.</summary>
internal sealed class PassTimer(GL gl) : IDisposable
{
    private readonly List<(string Pass, uint Query)> _running = [];
    private readonly Stack<uint> _free = new();
    private readonly List<(string Step, double Milliseconds)> _steps = [];
    private long _since;
    private bool _open;

    public bool On { get; set; }

    /// <summary>Put before the names of the passes that begin from now on.</summary>
    public string Within { get; set; } = "";

    /// <summary>Ends the pass before, starts the named one; told as a step of the drawing, timed or not.</summary>
    public void Begin(string pass)
    {
        DrawingSteps.Made();
        if (!On)
        {
            return;
        }

        End();
        var query = _free.Count > 0 ? _free.Pop() : gl.GenQuery();
        gl.BeginQuery(QueryTarget.TimeElapsed, query);
        _running.Add((Within + pass, query));
        _open = true;
    }

    /// <summary>Steps on the processor are timed from here.</summary>
    public void From() => _since = Stopwatch.GetTimestamp();

    /// <summary>A step on the processor ends, begun where the last one ended.</summary>
    public void Step(string name)
    {
        if (On)
        {
            _steps.Add((name, Stopwatch.GetElapsedTime(_since).TotalMilliseconds));
            From();
        }
    }

    /// <summary>The steps since the last call, in their order.</summary>
    public IReadOnlyList<(string Step, double Milliseconds)> Steps()
    {
        var steps = _steps.ToArray();
        _steps.Clear();
        return steps;
    }

    /// <summary>Waits for all and hands out milliseconds, added up by name in order of first use.</summary>
    public IReadOnlyList<(string Pass, double Milliseconds)> Collect()
    {
        End();
        var sums = new List<(string Pass, double Milliseconds)>();
        foreach (var (pass, query) in _running)
        {
            gl.GetQueryObject(query, QueryObjectParameterName.Result, out ulong nanoseconds);
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
        return sums;
    }

    public void Dispose()
    {
        foreach (var query in _free)
        {
            gl.DeleteQuery(query);
        }
    }

    /// <summary>Ends the pass before; what follows is not measured.</summary>
    public void End()
    {
        if (_open)
        {
            gl.EndQuery(QueryTarget.TimeElapsed);
            _open = false;
        }
    }
}
