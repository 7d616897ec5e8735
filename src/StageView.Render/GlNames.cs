namespace StageView.Render;

public sealed partial class FrameRenderer
{
    /// <summary>How many objects of each kind exist in the context now, by asking for every name given so far.</summary>
    internal (int Buffers, int Textures, int Framebuffers, int VertexArrays, int Programs) LiveObjects()
    {
        _context.Enter();
        try
        {
            var gl = _context.Gl;
            return (
                Count(gl.GenBuffer(), gl.DeleteBuffer, gl.IsBuffer), Count(gl.GenTexture(), gl.DeleteTexture, gl.IsTexture), Count(gl.GenFramebuffer(), gl.DeleteFramebuffer, gl.IsFramebuffer),
                Count(gl.GenVertexArray(), gl.DeleteVertexArray, gl.IsVertexArray), Count(gl.CreateProgram(), gl.DeleteProgram, gl.IsProgram));
        }
        finally
        {
            _context.Leave();
        }

        static int Count(uint next, Action<uint> delete, Func<uint, bool> exists)
        {
            delete(next);
            var count = 0;

            // Some drivers give the lowest free name, others one that was never used: some room above finds those of either.
            for (uint name = 1; name < next + 256; name++)
            {
                count += exists(name) ? 1 : 0;
            }

            return count;
        }
    }
}
