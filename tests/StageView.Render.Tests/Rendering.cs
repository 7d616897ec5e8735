using StageView.Render.Contexts;

namespace StageView.Render.Tests;

/// <summary>One context and renderer for all tests; tests that draw are in the collection "gl" and so run one after another.</summary>
public sealed class Rendering : IDisposable
{
    private GlContext? _context;
    private FrameRenderer? _renderer;

    /// <summary>The renderer, or a skipped test where this machine has no OpenGL.</summary>
    public FrameRenderer Renderer
    {
        get
        {
            if (_renderer is null)
            {
                try
                {
                    _context = Offscreen.Open();
                }
                catch (MachineCannotException e)
                {
                    Assert.Skip(e.Message);
                }

                _renderer = new FrameRenderer(_context!);
            }

            return _renderer;
        }
    }

    public void Dispose()
    {
        _renderer?.Dispose();
        _context?.Dispose();
    }
}

[CollectionDefinition("gl")]
public sealed class RenderingCollection : ICollectionFixture<Rendering>;
